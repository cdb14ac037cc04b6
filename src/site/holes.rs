//! Text that the template engine filled with marks, taken apart at them to be filled again and again.

/// A place in the course that no lesson has, for no course has so many. It is a number because templates compare places.
pub(super) const NO_POSITION: usize = 4_190_728_653;

/// A text with holes: each hole comes after its piece.
#[derive(Debug)]
pub(super) struct Holed<Hole> {
    pieces: Vec<(String, Hole)>,
    foot: String,
}

impl<Hole: Copy> Holed<Hole> {
    /// The text with a hole for every mark in it.
    pub(super) fn at(marks: &[(&str, Hole)], text: &str) -> Self {
        let (mut pieces, mut rest) = (Vec::new(), text);
        let first = |rest: &str| {
            let found = marks.iter().filter_map(|(mark, hole)| Some((rest.find(mark)?, mark.len(), *hole)));
            found.min_by_key(|(at, ..)| *at)
        };
        while let Some((at, length, hole)) = first(rest) {
            pieces.push((rest[..at].to_owned(), hole));
            rest = &rest[at + length..];
        }
        Holed { pieces, foot: rest.to_owned() }
    }

    /// How many bytes it has without its holes.
    pub(super) fn length(&self) -> usize {
        self.pieces.iter().map(|(piece, _)| piece.len()).sum::<usize>() + self.foot.len()
    }

    /// Puts the text at the end of `out`, with `fill`'s text in each hole.
    pub(super) fn put<'a>(&self, out: &mut String, fill: impl Fn(Hole) -> &'a str) {
        let filled: usize = self.pieces.iter().map(|(_, hole)| fill(*hole).len()).sum();
        out.reserve(self.length() + filled);
        for (piece, hole) in &self.pieces {
            out.push_str(piece);
            out.push_str(fill(*hole));
        }
        out.push_str(&self.foot);
    }
}
