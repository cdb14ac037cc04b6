//! Which texts are letters and nothing else: they are shown as they are, and nothing is looked for in them.

/// How many bytes are asked at a time.
const AT_ONCE: usize = 16;

/// Whether a byte may be more than a letter: a sign of Markdown, of HTML or of what is looked for in plain text, or part
/// of a letter beyond ASCII. Few comparisons, so that the processor makes them for many bytes side by side.
const fn is_sign(byte: u8) -> bool {
    // `[`, `\`, `]`, `^`, `_` and `{`, `|`, `}`, `~` are the same but for the bit that makes a letter small.
    let bracket = byte | 0x20 >= b'{';
    let quote = byte.wrapping_sub(b'"') <= b'*' - b'"';
    bracket | quote | (byte.wrapping_sub(b':') <= b'>' - b':') | (byte == b'`')
}

/// Whether one of some bytes may be more than a letter; every letter of a course is asked.
pub(super) fn has_sign(bytes: &[u8]) -> bool {
    let any = |part: &[u8; AT_ONCE]| part.iter().fold(false, |found, byte| found | is_sign(*byte));
    match bytes.last_chunk::<AT_ONCE>() {
        None => bytes.iter().any(|byte| is_sign(*byte)),
        Some(last) => any(last) || bytes.as_chunks::<AT_ONCE>().0.iter().any(any),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sign_is_seen_wherever_it_is() {
        let plain = b"A worn nozzle limits, 12.5 gal/min! What reaches the turf? 100 + 1 - 2";
        for sign in b"[]{}#*|:`'\"&<>^\\~".iter().copied().chain(0x80..=0xff) {
            for length in 1..plain.len() {
                assert!(!has_sign(&plain[..length]));
                for at in 0..length {
                    let mut bytes = plain[..length].to_vec();
                    bytes[at] = sign;
                    assert!(has_sign(&bytes), "{sign} at {at} of {length}");
                }
            }
        }
    }
}
