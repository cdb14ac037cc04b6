//! The door to the browser: three stretches of memory that a page's script fills and reads.
#![allow(unsafe_code, reason = "a page reaches into this memory, and calls by name")]

use crate::{MOST_MODULE, MOST_STREAMS, MOST_TEXT, length, stop, unpack};
use core::panic::PanicInfo;
use core::sync::atomic::{AtomicUsize, Ordering::Relaxed};

#[repr(C)]
struct Room {
    text: [u8; MOST_TEXT],
    streams: [u8; MOST_STREAMS],
    module: [u8; MOST_MODULE],
}

const PAGE: usize = 0x1_0000;
/// Where the memory is, once it has been asked for.
static ROOM: AtomicUsize = AtomicUsize::new(0);

fn room() -> *mut Room {
    if ROOM.load(Relaxed) == 0 {
        let first = core::arch::wasm32::memory_grow(0, size_of::<Room>().div_ceil(PAGE));
        if first == usize::MAX {
            stop();
        }
        ROOM.store(first * PAGE, Relaxed);
    }
    core::ptr::with_exposed_provenance_mut(ROOM.load(Relaxed))
}

/// Where the text of a packed module goes.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn text() -> *mut u8 {
    room().cast()
}

/// Where streams are: those that a module may refer to go there first, and its own follow them.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn streams() -> *mut u8 {
    text().wrapping_add(MOST_TEXT)
}

/// Where the module is afterwards.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn module() -> *mut u8 {
    streams().wrapping_add(MOST_STREAMS)
}

/// How long the streams are that a text of so many letters holds.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn streams_in(letters: usize) -> usize {
    // SAFETY: the memory is as long as this, any bytes are valid in it, and a page has one thread: nothing else holds it.
    let room = unsafe { &*room() };
    let Some(text) = room.text.get(..letters) else { stop() };
    length(text)
}

/// Unpacks a text of so many letters after so many bytes of streams; says how long the module is.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn unpacked(letters: usize, before: usize) -> usize {
    // SAFETY: the memory is as long as this, any bytes are valid in it, and a page has one thread: nothing else holds it.
    let Room { text, streams, module } = unsafe { &mut *room() };
    let Some(text) = text.get(..letters) else { stop() };
    unpack(text, streams, before, module)
}

#[panic_handler]
fn panicked(_: &PanicInfo) -> ! {
    stop()
}
