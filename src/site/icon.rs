//! The icon of an installed course: a drop with the marks of a measuring jug, in the company's color.

use crate::colour::Colour;

/// Side of the square in which the icon is described. All of the drop is inside the middle circle that a system may cut
/// out (W3C, Web Application Manifest, "Icon masks and safe zone").
const SIDE: i64 = 512;
/// Height of the drop's tip, which is in the middle from side to side.
const TIP: i64 = 88;
/// Radius of its round end.
const ROUND: i64 = 116;
/// Where its straight sides meet the round end: this far below the tip, in thousandths, and from the middle.
const SHOULDER: (i64, i64) = (158_836, 98_565);
/// The marks: left end, top, length.
const MARKS: [(i64, i64, i64); 3] = [(262, 246, 66), (262, 300, 44), (262, 354, 66)];
/// How thick a mark is.
const THICK: i64 = 16;
/// Samples per pixel, across and down.
const FINE: i64 = 4;

/// The icon as a drawing.
pub(super) fn drawn(ground: Colour) -> String {
    let (ground, ink) = (ground.written(), ground.ink().written());
    let middle = SIDE / 2;
    let thousandths = |value: i64| value as f64 / 1000.0;
    let (down, out) = (thousandths(SHOULDER.0) + TIP as f64, thousandths(SHOULDER.1));
    let (left, right) = (middle as f64 - out, middle as f64 + out);
    let marks: String =
        MARKS.iter().map(|(x, y, length)| format!("<path d=\"M{x} {y}h{length}v{THICK}h-{length}z\"/>")).collect();
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {SIDE} {SIDE}\"><g fill=\"{ground}\"><path d=\"M0 0h{SIDE}v{SIDE}H0z\"/><path fill=\"{ink}\" d=\"M{middle} {TIP}L{right} {down}A{ROUND} {ROUND} 0 1 1 {left} {down}z\"/>{marks}</g></svg>\n"
    )
}

/// How much of each point is ink, packed as a PNG's image data (`IDAT`): the same in every color, and so packed once.
/// `UPDATE_ICONS=1 cargo test --lib icon` packs them anew where the drop has changed.
const PACKED: [(u32, &[u8]); 2] = [(192, include_bytes!("icon/192.idat")), (512, include_bytes!("icon/512.idat"))];

/// The icon in points, `side` of them each way: 192 or 512.
///
/// # Errors
/// Another side, and what the encoder reports; it has no reason to refuse this image.
pub(super) fn pixels(ground: Colour, side: u32) -> Result<Vec<u8>, png::EncodingError> {
    let packed = PACKED.iter().find(|(packed, _)| *packed == side);
    let (_, packed) = packed.ok_or_else(|| std::io::Error::from(std::io::ErrorKind::NotFound))?;
    let mut bytes = Vec::new();
    encoder(&mut bytes, ground, side).write_header()?.write_chunk(png::chunk::IDAT, packed)?;
    Ok(bytes)
}

/// An encoder for points that are each a share of ink on the ground.
fn encoder(to: &mut Vec<u8>, ground: Colour, side: u32) -> png::Encoder<'_, &mut Vec<u8>> {
    let ink = ground.ink();
    let levels = FINE * FINE;
    let palette =
        (0..=levels).flat_map(|level| ground.mixed(ink, level as f64 / levels as f64).parts()).collect::<Vec<u8>>();
    let mut encoder = png::Encoder::new(to, side, side);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_palette(palette);
    encoder
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::stock;

    /// Height of the middle of the round end.
    const HEART: i64 = 308;

    /// Whether a point is on the drop and not on a mark; `unit` parts make one of the square's.
    fn is_ink(x: i64, y: i64, unit: i64) -> bool {
        let across = (x - SIDE / 2 * unit).abs();
        let below = y - TIP * unit;
        let deep = y - HEART * unit;
        let in_the_point = below >= 0 && below * 1000 <= SHOULDER.0 * unit && across * SHOULDER.0 <= below * SHOULDER.1;
        let in_the_round = across * across + deep * deep <= ROUND * ROUND * unit * unit;
        let between = |value: i64, from: i64, length: i64| (from * unit..(from + length) * unit).contains(&value);
        let marked = MARKS.iter().any(|(left, top, length)| between(x, *left, *length) && between(y, *top, THICK));
        (in_the_point || in_the_round) && !marked
    }

    /// How many of each point's samples are ink, looked at one by one.
    fn counted(side: u32) -> Vec<u8> {
        let side = i64::from(side);
        let place = |pixel: i64, sample: i64| ((pixel * FINE + sample) * 2 + 1) * SIDE;
        let ink = |row: i64, column: i64| {
            let samples = (0..FINE).flat_map(|y| (0..FINE).map(move |x| (place(column, x), place(row, y))));
            samples.filter(|(x, y)| is_ink(*x, *y, side * FINE * 2)).count() as u8
        };
        (0..side).flat_map(|row| (0..side).map(move |column| ink(row, column))).collect()
    }

    /// The image data of a PNG.
    fn image_data(png: &[u8]) -> Vec<u8> {
        let (mut rest, mut data) = (&png[8..], Vec::new());
        while let Some((length, after)) = rest.split_first_chunk() {
            let length = u32::from_be_bytes(*length) as usize;
            if after.starts_with(b"IDAT") {
                data.extend_from_slice(&after[4..4 + length]);
            }
            rest = &after[4 + length + 4..];
        }
        data
    }

    #[test]
    fn the_icon_in_points_is_the_one_that_is_drawn() {
        for (side, _) in PACKED {
            let counted = counted(side);
            if std::env::var_os("UPDATE_ICONS").is_some() {
                let mut bytes = Vec::new();
                let header = encoder(&mut bytes, stock::BAND, side).write_header();
                header.and_then(|mut writer| writer.write_image_data(&counted)).expect("it is encoded");
                let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/site/icon");
                std::fs::write(folder.join(format!("{side}.idat")), image_data(&bytes)).expect("it can be written");
                continue;
            }
            let bytes = pixels(stock::BAND, side).expect("it is encoded");
            assert!(bytes.len() < 6_000, "{} bytes", bytes.len());
            let mut image = png::Decoder::new(std::io::Cursor::new(&bytes)).read_info().expect("a PNG");
            assert_eq!((image.info().width, image.info().height), (side, side));
            let mut indices = vec![0; image.output_buffer_size().expect("it is small")];
            image.next_frame(&mut indices).expect("an image");
            image.finish().expect("a whole PNG");
            assert!(indices == counted, "{side}: the packed points are not those of the drop; pack them anew");
            if side == 192 {
                // In a corner, in the tip, in the heart, in a mark, below the drop.
                let at = |x: usize, y: usize| indices[y * 192 + x];
                assert_eq!([at(2, 2), at(96, 50), at(80, 120), at(110, 95), at(96, 170)], [0, 16, 16, 0, 0]);
            }
        }
        assert!(pixels(stock::BAND, 100).is_err(), "no such side is packed");
        assert!(
            drawn(stock::BAND).contains("fill=\"#163a2b\"") && drawn(stock::BAND).contains("M256 88L354.565 246.836")
        );
    }
}
