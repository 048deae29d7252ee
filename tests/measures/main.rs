//! The measures against references outside the project.

mod formulas;
