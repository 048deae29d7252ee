//! Iterators into lists.

/// An iterator's items as a list. `collect` compiles the iterator twice where its length is not
/// known in advance (once for the first item), and pages download this code.
pub(crate) trait Gather: Iterator + Sized {
    /// The items, in their order.
    fn gather(self) -> Vec<Self::Item> {
        let mut list = Vec::new();
        for item in self {
            add(&mut list, item);
        }
        list
    }
}

impl<I: Iterator> Gather for I {}

/// `push`, compiled once for each kind of item: it is seventy bytes wherever it is inlined.
#[inline(never)]
fn add<T>(list: &mut Vec<T>, item: T) {
    list.push(item);
}
