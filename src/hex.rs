//! Bytes in base 16 (RFC 4648), as digests are written.

const DIGITS: &[u8; 16] = b"0123456789abcdef";

/// Two digits a byte, small letters.
pub(crate) fn hex(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len() * 2);
    push_hex(bytes, &mut text);
    text
}

/// The same at the end of a text: ten thousand pages have as many digests.
pub(crate) fn push_hex(bytes: &[u8], text: &mut String) {
    for bytes in bytes.chunks(16) {
        let mut digits = [0; 32];
        for (pair, byte) in digits.chunks_exact_mut(2).zip(bytes) {
            pair[0] = DIGITS[usize::from(byte >> 4)];
            pair[1] = DIGITS[usize::from(byte & 15)];
        }
        // They are all letters and digits.
        text.push_str(std::str::from_utf8(&digits[..bytes.len() * 2]).unwrap_or_default());
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn every_byte_is_two_small_digits() {
        assert_eq!(super::hex(&[0, 9, 10, 0x5f, 0xf0, 255]), "00090a5ff0ff");
        let mut text = "all: ".to_owned();
        super::push_hex(&(0..=255).collect::<Vec<u8>>(), &mut text);
        let each: String = (0..=255).map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(text, format!("all: {each}"));
    }
}
