//! A module as pages carry it: taken into streams of alike bytes, then LZMA, then base64.
//!
//! A server's gzip looks back 32 KB and knows nothing of WebAssembly, where an instruction, a local, an offset and an
//! address follow each other. Apart (`streams.rs`), each of them compresses better; LZMA then takes a fifth less than gzip, and a part
//! may look back into the core, which is always there before it. Base64 costs nothing on the way: a server's gzip turns
//! its 64 letters into six bits each. `calc-wasm/unpack` is the other half, and knows the same streams.

use super::streams::{HEADER, apart, number};
use base64::Engine;
use base64::engine::general_purpose::STANDARD_NO_PAD;
use lzma_rust2::{EncodeMode, LzmaOptions, LzmaWriter, MfType};
use std::io::Write;
use tankside_unpack::{MOST_MODULE, MOST_STREAMS, MOST_TEXT};

/// The kind of section that no browser reads.
const CUSTOM_SECTION: u8 = 0;

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

/// Bytes as a script's text between double quotes, each as the letter of its number: what unpacks is not packed itself,
/// and a server's gzip finds in this what repeats, as it does not in base64.
pub(crate) fn literal(bytes: &[u8]) -> String {
    let mut text = String::new();
    for (at, byte) in bytes.iter().enumerate() {
        match byte {
            // A digit after it would make it another letter.
            b'\0' if bytes.get(at + 1).is_some_and(u8::is_ascii_digit) => text.push_str("\\x00"),
            b'\0' => text.push_str("\\0"),
            b'\n' => text.push_str("\\n"),
            b'\r' => text.push_str("\\r"),
            b'"' | b'\\' => text.extend(['\\', char::from(*byte)]),
            _ => text.push(char::from(*byte)),
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::super::streams::Stream;
    use super::super::streams::tests::MODULE;
    use super::*;
    use lzma_rust2::LzmaReader;
    use std::io::Read;
    use tankside_unpack::STREAMS;

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
    fn a_script_reads_every_byte_of_a_text() {
        assert_eq!(literal(b"\0\x009\0a"), r"\0\x009\0a");
        assert_eq!(literal(b"\n\r\"\\\x7f\x80\xff"), "\\n\\r\\\"\\\\\u{7f}\u{80}\u{ff}");
    }

    #[test]
    fn a_page_puts_together_what_is_lent_and_where_constants_go() {
        // Two types of function, `memory` and what is lent, two stretches of constants.
        let head = b"\0asm\x01\0\0\0\x07\x15\x03\x06memory\x02\0\x02@@\0\x03\x02@A\0\xc8\x01";
        let module = [&head[..], b"\x0b\x11\x02\0\x41\x10\x0b\x02ab\0\x41\x80\x01\x0b\x03cde"].concat();
        let streams = apart(&module).expect("it is a module");
        let of = |stream: Stream| streams[stream as usize].as_slice();
        assert_eq!(of(Stream::Frame), b"\0asm\x01\0\0\0\x07\x09\x02\x03\x06memory\x02\0\x0b\x02abcde");
        assert_eq!((of(Stream::Lent), of(Stream::Segments)), (&b"\x03\xc5\x01"[..], &b"\x10\x02\x6e\x03"[..]));
        let packed = pack(&module, b"").expect("it can be packed");
        let (_, out) = unpacked(&packed.text, b"");
        assert_eq!(apart(&out).expect("it is a module"), streams);
        wasmparser::Parser::new(0).parse_all(&out).for_each(|part| _ = part.expect("it is a module"));
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
