//! Bytes in base 16 (RFC 4648), as digests are written.

/// Two digits a byte, small letters.
pub(crate) fn hex(bytes: &[u8]) -> String {
    let digit = |value: u8| char::from(if value < 10 { b'0' + value } else { b'a' + value - 10 });
    let mut text = String::with_capacity(bytes.len() * 2);
    // Ten thousand pages have as many digests: a format for each byte would take longer than finding them.
    bytes.iter().for_each(|byte| text.extend([digit(byte >> 4), digit(byte & 15)]));
    text
}

#[cfg(test)]
mod tests {
    #[test]
    fn every_byte_is_two_small_digits() {
        assert_eq!(super::hex(&[0, 9, 10, 0x5f, 0xf0, 255]), "00090a5ff0ff");
    }
}
