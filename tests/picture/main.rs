//! Feet followed in pictures: drawn ones, whose motion a formula made, and rendered clips.

#[path = "support/elsewhere.rs"]
mod elsewhere;
#[path = "support/feet.rs"]
mod feet;
#[path = "support/legs.rs"]
mod legs;
#[path = "support/plate.rs"]
mod plate;
#[path = "support/clips.rs"]
mod rendered;
#[path = "../support/tree.rs"]
mod tree;
#[path = "support/view.rs"]
mod view;

mod clips;
mod flipped;
mod flow;
mod foot;
mod marked_legs;
mod marks;
mod outline;
mod set_elsewhere;
mod tracked_feet;
mod views;
