//! Work done with the widest vectors the machine has.

/// Runs work compiled for the widest vectors of this machine. Products and sums are never fused, so
/// the bits are those of any other machine. What the work calls must be inlined into it.
#[inline(always)]
pub fn widest<R>(work: impl FnOnce() -> R) -> R {
    pulp::Arch::new().dispatch(work)
}
