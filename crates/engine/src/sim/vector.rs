//! Work done with the widest vectors the machine has.

/// Work that is compiled once for each width of vectors. Its `work` carries `#[inline(always)]`, and so
/// does what that calls: a closure cannot, and would be left behind in narrow code.
pub trait Work {
    /// What comes of it.
    type Out;

    /// Does it.
    fn work(self) -> Self::Out;
}

struct Carried<W>(W);

impl<W: Work> pulp::WithSimd for Carried<W> {
    type Output = W::Out;

    #[inline(always)]
    fn with_simd<S: pulp::Simd>(self, _: S) -> W::Out {
        self.0.work()
    }
}

/// Runs work compiled for the widest vectors of this machine. Products and sums are never fused, so
/// the bits are those of any other machine.
#[inline(always)]
pub fn widest<W: Work>(work: W) -> W::Out {
    pulp::Arch::new().dispatch(Carried(work))
}
