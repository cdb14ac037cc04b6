//! Whether a picture of pixels goes on to its end: a copy that broke off begins as a whole one does.

/// Whether the picture is whole, by the structure of its kind. What its pixels show is not looked at.
pub(super) fn is_whole(kind: &str, bytes: &[u8]) -> bool {
    let end = match kind {
        "png" => png(bytes),
        "jpg" => jpeg(bytes),
        "gif" => gif(bytes),
        "webp" => webp(bytes),
        "avif" => avif(bytes),
        _ => None,
    };
    end.is_some()
}

/// So many bytes from a place.
fn part(bytes: &[u8], at: usize, count: usize) -> Option<&[u8]> {
    bytes.get(at..at.checked_add(count)?)
}

fn number(bytes: &[u8], at: usize, count: usize) -> Option<usize> {
    part(bytes, at, count)?.iter().try_fold(0_usize, |all, byte| all.checked_mul(256)?.checked_add(usize::from(*byte)))
}

/// Chunks from the head to the end, with pixels between (W3C, Portable Network Graphics, 5).
fn png(bytes: &[u8]) -> Option<()> {
    let (mut at, mut pixels) = (8, false);
    (part(bytes, at + 4, 4)? == b"IHDR").then_some(())?;
    loop {
        let length = number(bytes, at, 4)?;
        let kind = part(bytes, at + 4, 4)?;
        at = at.checked_add(length)?.checked_add(12)?;
        part(bytes, at - 4, 4)?;
        match kind {
            b"IDAT" => pixels = true,
            b"IEND" => return pixels.then_some(()),
            _ => {}
        }
    }
}

/// Segments, then scans up to the end of the image (ITU-T T.81, annex B).
fn jpeg(bytes: &[u8]) -> Option<()> {
    let (mut at, mut scanned) = (2, false);
    loop {
        let marker = *bytes.get(at + 1)?;
        match (*bytes.get(at)?, marker) {
            // A marker may have any number of these in front.
            (0xff, 0xff) => at += 1,
            (0xff, 0xd9) => return scanned.then_some(()),
            (0xff, 0x01 | 0xd0..=0xd7) => at += 2,
            (0xff, _) => {
                at = at.checked_add(2)?.checked_add(number(bytes, at + 2, 2)?)?;
                if marker == 0xda {
                    scanned = true;
                    at += after_scan(bytes.get(at..)?)?;
                }
            }
            _ => return None,
        }
    }
}

/// How long the coded pixels of a scan are: up to a marker that is neither a stuffed byte nor a restart.
fn after_scan(coded: &[u8]) -> Option<usize> {
    coded.windows(2).position(|pair| pair[0] == 0xff && !matches!(pair[1], 0 | 0xd0..=0xd7))
}

/// Blocks up to the trailer, an image among them (CompuServe, GIF89a, 1990).
fn gif(bytes: &[u8]) -> Option<()> {
    let colours = |packed: u8| if packed & 0x80 == 0 { 0 } else { 3 << ((packed & 7) + 1) };
    let blocks = |mut at: usize| loop {
        match *bytes.get(at)? {
            0 => return Some(at + 1),
            count => at += usize::from(count) + 1,
        }
    };
    let (mut at, mut image) = (13 + colours(*bytes.get(10)?), false);
    loop {
        match *bytes.get(at)? {
            0x21 => at = blocks(at + 2)?,
            0x2c => {
                image = true;
                at = blocks(at + 11 + colours(*bytes.get(at + 9)?))?;
            }
            0x3b => return image.then_some(()),
            _ => return None,
        }
    }
}

/// A container that says how long it is (RFC 9649).
fn webp(bytes: &[u8]) -> Option<()> {
    let said = part(bytes, 4, 4)?.iter().rev().fold(0_usize, |all, byte| all << 8 | usize::from(*byte));
    let inside = part(bytes, 8, said)?;
    (inside.get(4..7)? == b"VP8" && said > 12).then_some(())
}

/// Boxes to the end of the file, one that describes the picture and one with its pixels (ISO/IEC 14496-12).
fn avif(bytes: &[u8]) -> Option<()> {
    let (mut at, mut about, mut pixels) = (0, false, false);
    while at < bytes.len() {
        let length = match number(bytes, at, 4)? {
            0 => bytes.len() - at,
            1 => number(bytes, at + 8, 8)?,
            length => length,
        };
        match part(bytes, at + 4, 4)? {
            b"meta" => about = true,
            b"mdat" => pixels = true,
            _ => {}
        }
        part(bytes, at, length.max(8))?;
        at += length.max(8);
    }
    (about && pixels).then_some(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One grey pixel of each kind, as general-purpose tools write it.
    const WHOLE: &[(&str, &str)] = &[
        (
            "png",
            "89504e470d0a1a0a0000000d49484452000000010000000108000000003a7e9b550000000a49444154789c63a8070000810080d394534a0000000049454e44ae426082",
        ),
        (
            "jpg",
            "ffd8ffe000104a46494600010100000100010000ffdb004300ffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffc0000b080001000101011100ffc4001f0000010501010101010100000000000000000102030405060708090a0bffc400b5100002010303020403050504040000017d01020300041105122131410613516107227114328191a1082342b1c11552d1f02433627282090a161718191a25262728292a3435363738393a434445464748494a535455565758595a636465666768696a737475767778797a838485868788898a92939495969798999aa2a3a4a5a6a7a8a9aab2b3b4b5b6b7b8b9bac2c3c4c5c6c7c8c9cad2d3d4d5d6d7d8d9dae1e2e3e4e5e6e7e8e9eaf1f2f3f4f5f6f7f8f9faffda0008010100003f002bffd9",
        ),
        ("gif", "474946383761010001008100007f7f7f0000000000000000002c000000000100010000080400010404003b"),
        ("webp", "52494646240000005745425056503820180000005001009d012a0100010001402625a40004740000fe000000"),
        (
            "avif",
            "00000020667479706176696600000000617669666d6966316d6961664d413142000000eb6d657461000000000000002168646c72000000000000000070696374000000000000000000000000000000000e7069746d0000000000010000001e696c6f630000000044000001000100000001000001130000001f0000002869696e660000000000010000001a696e6665020000000001000061763031436f6c6f72000000006a697072700000004b6970636f0000001469737065000000000000000100000001000000107069786900000000030808080000000c6176314381000c0000000013636f6c726e636c780001000d0006800000001769706d61000000000000000100010401028304000000276d64617412000a081800068808683420321114c78786650208209e50000000485ad957",
        ),
    ];

    fn bytes(hex: &str) -> Vec<u8> {
        let digit = |at: usize| u8::from_str_radix(&hex[at..at + 2], 16).expect("two digits");
        (0..hex.len()).step_by(2).map(digit).collect()
    }

    #[test]
    fn a_picture_that_was_cut_short_anywhere_is_not_whole() {
        for (kind, hex) in WHOLE {
            let whole = bytes(hex);
            assert!(is_whole(kind, &whole), "{kind}");
            // Bytes after the end do not matter.
            if *kind != "avif" {
                assert!(is_whole(kind, &[&whole[..], b"more"].concat()), "{kind} with more");
            }
            for end in 0..whole.len() {
                assert!(!is_whole(kind, &whole[..end]), "{kind} cut at {end} of {}", whole.len());
            }
        }
    }

    #[test]
    fn a_length_that_lies_ends_nowhere_and_breaks_nothing() {
        for (kind, hex) in WHOLE {
            let whole = bytes(hex);
            for at in 0..whole.len() {
                let mut changed = whole.clone();
                changed[at] = 0xff;
                // It may still be whole; what counts is that the call returns.
                let _ = is_whole(kind, &changed);
            }
        }
        assert!(!is_whole("png", &[0xff; 64]) && !is_whole("bmp", b"BM"));
    }
}
