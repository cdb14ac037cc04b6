//! The icon of an installed course: a drop with the marks of a measuring jug, in the company's color.

use crate::colour::Colour;

/// Side of the square in which the icon is described. All of the drop is inside the middle circle that a system may cut
/// out (W3C, Web Application Manifest, "Icon masks and safe zone").
const SIDE: i64 = 512;
/// Height of the drop's tip, which is in the middle from side to side.
const TIP: i64 = 88;
/// Height of the middle of its round end.
const HEART: i64 = 308;
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

/// The icon in points, `side` of them each way.
///
/// # Errors
/// What the encoder reports; it has no reason to refuse this image.
pub(super) fn pixels(ground: Colour, side: u32) -> Result<Vec<u8>, png::EncodingError> {
    let ink = ground.ink();
    let levels = FINE * FINE;
    let palette =
        (0..=levels).flat_map(|level| ground.mixed(ink, level as f64 / levels as f64).parts()).collect::<Vec<u8>>();
    let (points, unit) = (i64::from(side), i64::from(side) * FINE * 2);
    // The middle of a sample, in parts of which `unit` make one of the square's.
    let place = |pixel: i64, sample: i64| ((pixel * FINE + sample) * 2 + 1) * SIDE;
    let cover = |row: i64, column: i64| {
        let ink = |x: i64, y: i64| is_ink(place(column, x), place(row, y), unit);
        // Most points are outside the drop altogether, or inside it with all four corners: the drop is convex, and a
        // mark is larger than a point.
        let all = FINE - 1;
        let (left, right, top, bottom) = (place(column, 0), place(column, all), place(row, 0), place(row, all));
        let (middle, end) = (SIDE / 2, HEART + ROUND);
        if right < (middle - ROUND) * unit || left > (middle + ROUND) * unit || bottom < TIP * unit || top > end * unit
        {
            return 0;
        }
        let corners = [(0, 0), (all, 0), (0, all), (all, all)];
        if corners.into_iter().all(|(x, y)| ink(x, y)) {
            return levels as u8;
        }
        let samples = (0..FINE).flat_map(|y| (0..FINE).map(move |x| (x, y)));
        samples.filter(|(x, y)| is_ink(place(column, *x), place(row, *y), unit)).count() as u8
    };
    let indices: Vec<u8> = (0..points).flat_map(|row| (0..points).map(move |column| cover(row, column))).collect();
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, side, side);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_palette(palette);
    encoder.write_header()?.write_image_data(&indices)?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::stock;

    #[test]
    fn points_that_are_not_sampled_are_as_if_they_were() {
        let side = 96;
        let unit = side * FINE * 2;
        let place = |pixel: i64, sample: i64| ((pixel * FINE + sample) * 2 + 1) * SIDE;
        let bytes = pixels(stock::BAND, side as u32).expect("it is encoded");
        let mut image = png::Decoder::new(std::io::Cursor::new(&bytes)).read_info().expect("a PNG");
        let mut indices = vec![0; image.output_buffer_size().expect("it is small")];
        image.next_frame(&mut indices).expect("an image");
        let points = (0..side).flat_map(|row| (0..side).map(move |column| (row, column)));
        for ((row, column), found) in points.zip(indices) {
            let samples = (0..FINE).flat_map(|y| (0..FINE).map(move |x| (x, y)));
            let ink = samples.filter(|(x, y)| is_ink(place(column, *x), place(row, *y), unit)).count();
            assert_eq!(usize::from(found), ink, "row {row}, column {column}");
        }
    }

    #[test]
    fn the_icon_in_points_is_the_one_that_is_drawn() {
        let bytes = pixels(stock::BAND, 192).expect("it is encoded");
        assert!(bytes.len() < 6_000, "{} bytes", bytes.len());
        let mut image = png::Decoder::new(std::io::Cursor::new(&bytes)).read_info().expect("a PNG");
        assert_eq!((image.info().width, image.info().height), (192, 192));
        let mut indices = vec![0; image.output_buffer_size().expect("it is small")];
        image.next_frame(&mut indices).expect("an image");
        let at = |x: usize, y: usize| indices[y * 192 + x];
        // In a corner, in the tip, in the heart, in a mark, below the drop.
        assert_eq!([at(2, 2), at(96, 50), at(80, 120), at(110, 95), at(96, 170)], [0, 16, 16, 0, 0]);
        assert_eq!(bytes, pixels(stock::BAND, 192).expect("it is encoded"), "the same bytes each time");
        assert!(
            drawn(stock::BAND).contains("fill=\"#163a2b\"") && drawn(stock::BAND).contains("M256 88L354.565 246.836")
        );
    }
}
