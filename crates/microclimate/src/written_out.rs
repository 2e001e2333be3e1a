//! Short loops written out, so that every index is a constant and the compiler keeps small arrays in registers.

/// `body` for each of the indices that is below a number, one after the other.
macro_rules! written_out {
    ($i:ident of $($at:literal)+ below $n:expr, $body:block) => {
        $(if $at < $n {
            let $i: usize = $at;
            $body
        })+
    };
}
pub(crate) use written_out;
