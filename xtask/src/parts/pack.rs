//! A module as pages carry it: taken into streams of alike bytes, then LZMA, then base64.
//!
//! A server's gzip looks back 32 KB and knows nothing of WebAssembly, where an instruction, a local, an offset and an
//! address follow each other. Apart, each of them compresses better; LZMA then takes a fifth less than gzip, and a part
//! may look back into the core, which is always there before it. Base64 costs nothing on the way: a server's gzip turns
//! its 64 letters into six bits each. `calc-wasm/unpack` is the other half, and knows the same streams.

use base64::Engine;
pub(crate) use base64::engine::general_purpose::STANDARD_NO_PAD;
use lzma_rust2::{EncodeMode, LzmaOptions, LzmaWriter, MfType};
use std::io::Write;
use tankside_unpack::{LONG_NUMBER, MOST_MODULE, MOST_STREAMS, MOST_TEXT, STREAMS};
use wasmparser::{BinaryReader, FunctionBody};

/// Streams of alike bytes, in the order in which they are joined.
#[derive(Clone, Copy)]
enum Stream {
    /// All that is not code: sections with their lengths, but the code section with its count of functions only.
    Frame,
    /// How many locals of which type each function has.
    Locals,
    /// First bytes of instructions.
    Code,
    BlockType,
    Branch,
    Call,
    Local,
    Offset,
    Number,
    /// Numbers that take three bytes or more: addresses of constants, nearly all.
    Address,
    Targets,
    /// Globals, types and tables of indirect calls, memories.
    Other,
    Long,
    Float,
}

const _: () = assert!(Stream::Float as usize + 1 == STREAMS, "`calc-wasm/unpack` knows the same streams");
const NUMBER: u8 = 0x41;
/// From how many bytes on a number counts as an address.
const ADDRESS_BYTES: usize = 3;
const CODE_SECTION: u8 = 10;
const CUSTOM_SECTION: u8 = 0;
const HEADER: usize = 8;

/// What LZMA is told here and in `calc-wasm/unpack`: the highest bit of the byte before chooses how a letter is coded,
/// and its place does not matter.
fn options(before: &[u8]) -> LzmaOptions {
    LzmaOptions {
        dict_size: 1 << 20,
        lc: 1,
        lp: 0,
        pb: 0,
        mode: EncodeMode::Normal,
        nice_len: LzmaOptions::NICE_LEN_MAX,
        mf: MfType::Bt4,
        depth_limit: 1000,
        preset_dict: (!before.is_empty()).then(|| before.to_vec()),
    }
}

/// A module as text, and its streams joined, for parts that look back into them.
#[derive(Debug)]
pub(crate) struct Packed {
    /// Base64 of the streams' lengths, three bytes each, lowest first, and of LZMA without a header.
    pub(crate) text: String,
    /// All streams.
    pub(crate) streams: Vec<u8>,
}

/// Packs a module; `before` is what the page has unpacked already, or nothing.
///
/// # Errors
/// A module that is not WebAssembly, is too long, or has an instruction that `calc-wasm/unpack` does not know.
pub(crate) fn pack(module: &[u8], before: &[u8]) -> Result<Packed, String> {
    let streams = apart(module).map_err(|why| format!("a module cannot be packed: {why}"))?;
    let mut bytes = Vec::new();
    for stream in &streams {
        let length = u32::try_from(stream.len()).map_err(|why| why.to_string())?.to_le_bytes();
        bytes.extend_from_slice(&length[..3]);
    }
    let streams = streams.concat();
    let mut writer = LzmaWriter::new_no_header(&mut bytes, &options(before), false).map_err(|why| why.to_string())?;
    writer.write_all(&streams).map_err(|why| why.to_string())?;
    writer.finish().map_err(|why| why.to_string())?;
    let text = STANDARD_NO_PAD.encode(&bytes);
    for (what, length, most) in [
        ("packed", text.len(), MOST_TEXT),
        ("in its streams, with those before it,", before.len() + streams.len(), MOST_STREAMS),
        // The page writes each length in four bytes, where one may have been enough.
        ("with room to put it together", 2 * module.len(), MOST_MODULE),
    ] {
        if length > most {
            return Err(format!("a module takes {length} bytes {what}; `calc-wasm/unpack` has room for {most}"));
        }
    }
    Ok(Packed { text, streams })
}

/// A module's bytes by stream.
fn apart(module: &[u8]) -> Result<[Vec<u8>; STREAMS], String> {
    let mut streams: [Vec<u8>; STREAMS] = std::array::from_fn(|_| Vec::new());
    let frame = Stream::Frame as usize;
    streams[frame].extend_from_slice(module.get(..HEADER).ok_or("it is too short")?);
    let mut at = HEADER;
    while at < module.len() {
        let from = at;
        let id = module[at];
        at += 1;
        let length = number(module, &mut at)?;
        let section = module.get(at..at + length).ok_or("a section is longer than the module")?;
        if id == CODE_SECTION {
            let mut inner = 0;
            let functions = number(section, &mut inner)?;
            streams[frame].push(id);
            streams[frame].extend_from_slice(&section[..inner]);
            for _ in 0..functions {
                let length = number(section, &mut inner)?;
                let body = section.get(inner..inner + length).ok_or("a function is longer than its section")?;
                function(body, &mut streams)?;
                inner += length;
            }
        } else {
            streams[frame].extend_from_slice(&module[from..at + length]);
        }
        at += length;
    }
    Ok(streams)
}

fn function(body: &[u8], streams: &mut [Vec<u8>; STREAMS]) -> Result<(), String> {
    let reader = FunctionBody::new(BinaryReader::new(body, 0));
    let mut operators = reader.get_operators_reader().map_err(|why| why.to_string())?;
    streams[Stream::Locals as usize].extend_from_slice(&body[..operators.original_position()]);
    while !operators.eof() {
        let from = operators.original_position();
        operators.read().map_err(|why| why.to_string())?;
        instruction(&body[from..operators.original_position()], streams)?;
    }
    Ok(())
}

/// One instruction: its first byte, and what follows by what it is.
fn instruction(bytes: &[u8], streams: &mut [Vec<u8>; STREAMS]) -> Result<(), String> {
    use Stream::{Address, BlockType, Branch, Call, Float, Local, Long, Number, Offset, Other, Targets};
    let (code, rest) = bytes.split_first().ok_or("an instruction is empty")?;
    let mut first = *code;
    let (into, rest) = match *code {
        // How an address is aligned is a hint; the page writes that nothing is known of it.
        0x28..=0x3E => {
            let mut skipped = 0;
            number(rest, &mut skipped)?;
            (Offset, &rest[skipped..])
        }
        0x20..=0x22 => (Local, rest),
        NUMBER if rest.len() >= ADDRESS_BYTES => {
            first = LONG_NUMBER;
            (Address, rest)
        }
        NUMBER => (Number, rest),
        0x42 => (Long, rest),
        0x43 | 0x44 => (Float, rest),
        0x10 => (Call, rest),
        0x02..=0x04 => (BlockType, rest),
        0x0C | 0x0D => (Branch, rest),
        0x0E => (Targets, rest),
        0x11 | 0x23 | 0x24 | 0x3F | 0x40 => (Other, rest),
        // Copying and filling memory, and numbers cut to the nearest that fits.
        0xFC if rest.first().is_some_and(|kind| *kind < 8 || matches!(kind, 10 | 11)) => (Other, rest),
        _ if rest.is_empty() => (Other, rest),
        _ => return Err(format!("calc-wasm/unpack does not know the instruction {bytes:02x?}")),
    };
    streams[Stream::Code as usize].push(first);
    streams[into as usize].extend_from_slice(rest);
    Ok(())
}

/// A whole number as WebAssembly writes it.
fn number(bytes: &[u8], at: &mut usize) -> Result<usize, String> {
    let mut reader = BinaryReader::new(bytes.get(*at..).unwrap_or_default(), 0);
    let value = reader.read_var_u32().map_err(|why| why.to_string())?;
    *at += reader.original_position();
    usize::try_from(value).map_err(|why| why.to_string())
}

/// A module without sections that no browser reads: names, what the linker recorded, who built it.
///
/// # Errors
/// What is no module.
pub(crate) fn bare(module: &[u8]) -> Result<Vec<u8>, String> {
    let mut kept = module.get(..HEADER).ok_or("it is too short")?.to_vec();
    let mut at = HEADER;
    while at < module.len() {
        let from = at;
        at += 1;
        let length = number(module, &mut at)?;
        at += length;
        if module[from] != CUSTOM_SECTION {
            kept.extend_from_slice(module.get(from..at).ok_or("a section is longer than the module")?);
        }
    }
    Ok(kept)
}

#[cfg(test)]
mod tests {
    use super::*;
    use lzma_rust2::LzmaReader;
    use std::io::Read;

    /// A module with one function: `(i32.store align=4 offset=5 (local.get 0) (i32.const 1_000_000))`, `i32.const 7`.
    const MODULE: &[u8] = b"\0asm\x01\0\0\0\x0a\x11\x01\x0f\x01\x01\x7f\x20\0\x41\xc0\x84\x3d\x36\x02\x05\x41\x07\x0b";

    #[test]
    fn alike_bytes_come_together_and_hints_and_lengths_go() {
        let streams = apart(MODULE).expect("it is a module");
        let of = |stream: Stream| streams[stream as usize].as_slice();
        assert_eq!(of(Stream::Frame), b"\0asm\x01\0\0\0\x0a\x01");
        assert_eq!(of(Stream::Locals), b"\x01\x01\x7f");
        assert_eq!(of(Stream::Code), b"\x20\xfe\x36\x41\x0b");
        assert_eq!((of(Stream::Local), of(Stream::Offset)), (&b"\0"[..], &b"\x05"[..]));
        assert_eq!((of(Stream::Number), of(Stream::Address)), (&b"\x07"[..], &b"\xc0\x84\x3d"[..]));
        assert_eq!(streams.concat().len(), MODULE.len() - 3, "two lengths and an alignment");
    }

    #[test]
    fn what_is_packed_comes_out_again_from_an_independent_reader() {
        for before in [&b""[..], b"what was unpacked before"] {
            let packed = pack(MODULE, before).expect("it can be packed");
            let bytes = STANDARD_NO_PAD.decode(&packed.text).expect("it is base64");
            let (lengths, lzma) = bytes.split_at(3 * STREAMS);
            let total: usize = lengths.chunks(3).map(|three| usize::from(three[0]) + 256 * usize::from(three[1])).sum();
            assert_eq!(total, packed.streams.len());
            let known = (!before.is_empty()).then_some(before);
            let mut reader = LzmaReader::new(lzma, total as u64, 1, 0, 0, 1 << 20, known).expect("it reads LZMA");
            let mut streams = Vec::new();
            reader.read_to_end(&mut streams).expect("it is whole");
            assert_eq!(streams, packed.streams);
        }
    }

    #[test]
    fn a_page_puts_together_what_was_packed() {
        let before = b"what was unpacked before";
        let packed = pack(MODULE, before).expect("it can be packed");
        let (streams, module) = unpacked(&packed.text, before);
        assert_eq!(streams, packed.streams);
        // Lengths take four bytes, and nothing is known of how the address is aligned.
        let code = b"\x01\x01\x7f\x20\0\x41\xc0\x84\x3d\x36\0\x05\x41\x07\x0b";
        let lengths = [&b"\x94\x80\x80\0\x01"[..], b"\x8f\x80\x80\0"].concat();
        assert_eq!(module, [b"\0asm\x01\0\0\0\x0a", lengths.as_slice(), code].concat());
    }

    #[test]
    fn every_part_in_the_tree_comes_out_as_a_module_of_the_same_streams() {
        let built = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../calc-wasm/pkg");
        let text = |name: &str| std::fs::read_to_string(built.join(name)).expect("it is in the tree");
        let (core, _) = unpacked(&text("core.txt"), b"");
        let mut parts = 0;
        for name in crate::sources::built_files(&built).expect("the tree has a build") {
            let before = if name == "core.txt" { &b""[..] } else { &core };
            if name.starts_with("core") && name.ends_with(".txt") {
                let (streams, module) = unpacked(&text(&name), before);
                assert_eq!(apart(&module).expect("it is a module").concat(), streams, "{name}");
                parts += 1;
            }
        }
        assert!(parts > 20, "{parts}");
    }

    /// What a page makes of a text: its own streams, and the module.
    fn unpacked(text: &str, before: &[u8]) -> (Vec<u8>, Vec<u8>) {
        let (mut streams, mut module) = (vec![0; MOST_STREAMS], vec![0; MOST_MODULE]);
        streams[..before.len()].copy_from_slice(before);
        let length = tankside_unpack::unpack(text.as_bytes(), &mut streams, before.len(), &mut module);
        module.truncate(length);
        (streams[before.len()..][..tankside_unpack::length(text.as_bytes())].to_vec(), module)
    }

    #[test]
    fn what_a_page_could_not_put_together_is_refused() {
        // `ref.null func`, `drop`
        let module = b"\0asm\x01\0\0\0\x0a\x07\x01\x05\0\xd0\x70\x1a\x0b";
        let told = pack(module, b"").expect_err("it is refused");
        assert!(told.ends_with("does not know the instruction [d0, 70]"), "{told}");
        assert!(pack(b"lawn", b"").is_err_and(|told| told.contains("too short")));
    }
}
