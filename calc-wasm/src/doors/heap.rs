//! Memory in small pieces for the core in a browser, quickly: a worked example asks for more than a thousand, most of
//! them texts of a few letters that are gone at once, and a general allocator took a sixth of its time.
//!
//! A piece that is given back goes on a list of its size and is the next to be handed out. What is larger, and the pages
//! that pieces are cut from, come from the allocator beneath; a page is never given back.
#![allow(unsafe_code, reason = "an allocator hands out memory")]

use std::alloc::{GlobalAlloc, Layout};
use std::cell::UnsafeCell;
use std::ptr::null_mut;

/// Pieces are as long as a multiple of this, and begin at one.
const STEP: usize = 16;
/// How many lengths there are, each a step longer than the one before.
const LISTS: usize = 32;
/// How much is taken from beneath at a time, to be cut into pieces.
const PAGE: usize = 8192;

/// Small pieces from lists, all else from the allocator `A` beneath. For programs of one thread.
#[derive(Debug)]
pub struct Small<A> {
    beneath: A,
    lists: UnsafeCell<Lists>,
}

#[derive(Debug)]
struct Lists {
    /// The first free piece of each length; it holds the address of the next.
    free: [*mut u8; LISTS],
    /// Where the next piece is cut, and how much is left there.
    page: *mut u8,
    left: usize,
}

// SAFETY: the core in a browser has one thread, and is the only one that makes this a global allocator.
unsafe impl<A> Sync for Small<A> {}

impl<A> Small<A> {
    /// Over this allocator.
    pub const fn over(beneath: A) -> Self {
        let lists = Lists { free: [null_mut(); LISTS], page: null_mut(), left: 0 };
        Small { beneath, lists: UnsafeCell::new(lists) }
    }
}

/// The list of pieces as long as this; none for what is larger.
fn list_of(layout: Layout) -> Option<usize> {
    let list = layout.size().wrapping_sub(1) / STEP;
    (list < LISTS && layout.align() <= STEP).then_some(list)
}

impl Lists {
    /// # Safety
    /// `piece` is as long as the list says, and nobody's.
    unsafe fn give_back(&mut self, piece: *mut u8, list: usize) {
        // SAFETY: a piece has room for an address, and begins at a multiple of more than an address needs.
        #[allow(clippy::cast_ptr_alignment, reason = "a piece begins at a multiple of 16")]
        unsafe {
            piece.cast::<*mut u8>().write(self.free[list]);
        }
        self.free[list] = piece;
    }
}

// SAFETY: a piece is on a list or handed out, never both; it is cut from memory that is taken from beneath for good, and
// is as long as its list says, which the same layout leads to when it comes back.
unsafe impl<A: GlobalAlloc> GlobalAlloc for Small<A> {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        // SAFETY: the caller's promises are those that the allocator beneath asks for.
        let Some(list) = list_of(layout) else { return unsafe { self.beneath.alloc(layout) } };
        // SAFETY: there is one thread, and nothing in here comes back to these lists while they are held.
        let lists = unsafe { &mut *self.lists.get() };
        let piece = lists.free[list];
        if !piece.is_null() {
            // SAFETY: a free piece holds the address of the next.
            #[allow(clippy::cast_ptr_alignment, reason = "a piece begins at a multiple of 16")]
            let next = unsafe { piece.cast::<*mut u8>().read() };
            lists.free[list] = next;
            return piece;
        }
        let length = (list + 1) * STEP;
        if lists.left < length {
            if lists.left > 0 {
                // SAFETY: the rest of the page is nobody's, and shorter than the longest piece.
                unsafe { lists.give_back(lists.page, lists.left / STEP - 1) };
            }
            // SAFETY: a page has a length, and its alignment is a power of two.
            lists.page = unsafe { self.beneath.alloc(Layout::from_size_align_unchecked(PAGE, STEP)) };
            lists.left = if lists.page.is_null() { 0 } else { PAGE };
            if lists.left == 0 {
                return null_mut();
            }
        }
        let piece = lists.page;
        // SAFETY: so much is left of the page.
        lists.page = unsafe { piece.add(length) };
        lists.left -= length;
        piece
    }

    unsafe fn dealloc(&self, piece: *mut u8, layout: Layout) {
        match list_of(layout) {
            // SAFETY: as in `alloc`; the caller gives the piece back that this layout was answered with.
            Some(list) => unsafe { (*self.lists.get()).give_back(piece, list) },
            // SAFETY: it came from beneath.
            None => unsafe { self.beneath.dealloc(piece, layout) },
        }
    }

    unsafe fn realloc(&self, piece: *mut u8, layout: Layout, size: usize) -> *mut u8 {
        // SAFETY: the caller promises a size that rounds up to a whole number of alignments without overflow.
        let wanted = unsafe { Layout::from_size_align_unchecked(size, layout.align()) };
        match (list_of(layout), list_of(wanted)) {
            // SAFETY: it came from beneath.
            (None, None) => unsafe { self.beneath.realloc(piece, layout, size) },
            (one, other) if one == other => piece,
            // SAFETY: both are as long as what is copied, and the new one is not the old one, which is in use.
            _ => unsafe {
                let moved = self.alloc(wanted);
                if !moved.is_null() {
                    piece.copy_to_nonoverlapping(moved, layout.size().min(size));
                    self.dealloc(piece, layout);
                }
                moved
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::alloc::System;

    #[test]
    fn pieces_are_apart_aligned_and_keep_what_is_in_them() {
        let heap = Small::over(System);
        let mut held: Vec<(*mut u8, Layout, u8)> = Vec::new();
        let mut state = 1_u32;
        let mut next = |below: usize| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (state >> 8) as usize % below
        };
        let check = |piece: *mut u8, length: usize, mark: u8| {
            // SAFETY: the piece is held, and was filled as far as this.
            let bytes = unsafe { std::slice::from_raw_parts(piece, length) };
            assert!(bytes.iter().all(|byte| *byte == mark), "{length}");
        };
        for turn in 0..20_000 {
            let mark = turn as u8;
            let size = if next(20) == 0 { 1 + next(5000) } else { 1 + next(600) };
            match next(3) {
                0 if !held.is_empty() => {
                    let (piece, layout, mark) = held.swap_remove(next(held.len()));
                    check(piece, layout.size(), mark);
                    // SAFETY: it was handed out for this layout.
                    unsafe { heap.dealloc(piece, layout) };
                }
                1 if !held.is_empty() => {
                    let at = next(held.len());
                    let (piece, layout, mark) = held[at];
                    // SAFETY: it was handed out for this layout; what is new of it is filled.
                    let moved = unsafe { heap.realloc(piece, layout, size) };
                    check(moved, layout.size().min(size), mark);
                    unsafe { moved.write_bytes(mark, size) };
                    held[at] = (moved, Layout::from_size_align(size, layout.align()).expect("a layout"), mark);
                }
                _ => {
                    let layout = Layout::from_size_align(size, 1 << next(6)).expect("a layout");
                    // SAFETY: it has a length; all of it is filled.
                    let piece = unsafe { heap.alloc(layout) };
                    assert!(!piece.is_null() && piece.addr().is_multiple_of(layout.align()));
                    unsafe { piece.write_bytes(mark, size) };
                    held.push((piece, layout, mark));
                }
            }
        }
        for (piece, layout, mark) in held {
            check(piece, layout.size(), mark);
            // SAFETY: it was handed out for this layout.
            unsafe { heap.dealloc(piece, layout) };
        }
    }

    #[test]
    fn a_piece_that_is_given_back_is_the_next_to_be_handed_out() {
        let heap = Small::over(System);
        let (short, long) = (Layout::new::<[u8; 20]>(), Layout::new::<[u8; 32]>());
        // SAFETY: both layouts have a length, and a piece goes back for the length it was handed out for.
        unsafe {
            let one = heap.alloc(short);
            heap.dealloc(one, short);
            let other = heap.alloc(long);
            assert_eq!(one, other);
            assert_eq!(heap.realloc(other, long, 25), other, "a piece that still fits stays");
        }
    }
}
