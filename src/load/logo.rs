//! Whether a logo can be seen on the band that it is on, on a light and on a dark screen.

use roxmltree::{Document, Node};

use super::files::Files;
use super::text::{IMAGE_LIMIT, read_text};
use crate::colour::{Colour, stock};
use crate::drawing::is_drawing;

/// The least contrast of what must be seen to know a picture (WCAG 2.2, success criterion 1.4.11).
pub(super) const SEEN: f64 = 3.0;
/// The share of a logo's points that must be seen: one in ten; common practice, no source.
const SHARE: usize = 10;
/// The most pixels that are looked at.
const MOST: usize = 4_000_000;
/// What a drawing is painted with where nothing is said.
const BLACK: Colour = Colour::new(0, 0, 0);

/// The contrast by which a tenth of the logo stands out from its band, and on which screen, where it is too little to be
/// seen; nothing where it is enough, or cannot be known.
pub(super) fn lost(files: &dyn Files, logo: &str, band: Option<Colour>) -> Option<(&'static str, f64)> {
    let painted = if is_drawing(logo) { drawn(files, logo)? } else { pixels(files, logo)? };
    let light = band.unwrap_or(stock::BAND);
    let dark = band.map_or(stock::BAND_IN_THE_DARK, Colour::band_in_the_dark);
    [("a light", light), ("a dark", dark)].into_iter().find_map(|(screen, ground)| {
        let mut contrasts: Vec<f64> = painted.iter().map(|colour| colour.contrast(ground)).collect();
        contrasts.sort_by(|one, other| other.total_cmp(one));
        let most = *contrasts.get(contrasts.len() / SHARE)?;
        (most < SEEN).then_some((screen, most))
    })
}

/// The colors of a drawing; nothing where it has gradients, patterns, styles or pictures.
fn drawn(files: &dyn Files, logo: &str) -> Option<Vec<Colour>> {
    const SHAPES: &[&str] = &["circle", "ellipse", "line", "path", "polygon", "polyline", "rect", "text"];
    const UNKNOWN: &[&str] = &["image", "style", "use", "mask", "filter"];
    let source = read_text(files, logo).ok()?;
    let document = Document::parse(&source.text).ok()?;
    let mut colours = Vec::new();
    for node in document.descendants().filter(Node::is_element) {
        let name = node.tag_name().name();
        if UNKNOWN.contains(&name) {
            return None;
        }
        if !SHAPES.contains(&name) {
            continue;
        }
        for (paint, usual) in [("fill", Some(BLACK)), ("stroke", None)] {
            match painted(node, paint) {
                None => colours.extend(usual),
                Some("none" | "transparent") => {}
                Some(text) => colours.push(Colour::meant(text)?),
            }
        }
    }
    (!colours.is_empty()).then_some(colours)
}

/// What a shape is filled or drawn with: its own, or that of what it is in.
fn painted<'a>(node: Node<'a, '_>, paint: &str) -> Option<&'a str> {
    node.ancestors().find_map(|node| {
        let styled = node.attribute("style").and_then(|style| {
            style.split(';').filter_map(|one| one.split_once(':')).find(|(name, _)| name.trim() == paint)
        });
        styled.map(|(_, value)| value.trim()).or_else(|| node.attribute(paint).map(str::trim))
    })
}

/// The colors of the points of a PNG that are not clear, as many as there are; nothing for another kind of picture.
fn pixels(files: &dyn Files, logo: &str) -> Option<Vec<Colour>> {
    const OPAQUE: u8 = 128;
    let bytes = files.read(logo, IMAGE_LIMIT).ok()?;
    let mut decoder = png::Decoder::new(std::io::Cursor::new(&*bytes));
    decoder.set_transformations(png::Transformations::normalize_to_color8() | png::Transformations::ALPHA);
    let mut reader = decoder.read_info().ok()?;
    let (width, height) = reader.info().size();
    if width as usize * height as usize > MOST {
        return None;
    }
    let mut buffer = vec![0; reader.output_buffer_size()?];
    let about = reader.next_frame(&mut buffer).ok()?;
    let points = buffer[..about.buffer_size()].chunks_exact(about.color_type.samples());
    let colours: Vec<Colour> = points
        .filter_map(|point| match *point {
            [red, green, blue, alpha] if alpha >= OPAQUE => Some(Colour::new(red, green, blue)),
            [grey, alpha] if alpha >= OPAQUE => Some(Colour::new(grey, grey, grey)),
            _ => None,
        })
        .collect();
    (!colours.is_empty()).then_some(colours)
}

#[cfg(test)]
mod tests {
    use super::super::files::Memory;
    use super::*;

    fn svg(inside: &str) -> Memory {
        let mut files = Memory::new();
        let text = format!("<svg xmlns=\"http://www.w3.org/2000/svg\">{inside}</svg>");
        files.add("images/l.svg", text.into_bytes());
        files
    }

    /// A picture of one color, with as many clear points beside it.
    fn dots(colour: [u8; 3]) -> Memory {
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, 2, 10);
        encoder.set_color(png::ColorType::Rgba);
        encoder.set_depth(png::BitDepth::Eight);
        let row = [colour[0], colour[1], colour[2], 255, 255, 255, 255, 0];
        let mut writer = encoder.write_header().expect("a head");
        writer.write_image_data(&row.repeat(10)).expect("points");
        writer.finish().expect("an end");
        let mut files = Memory::new();
        files.add("images/l.png", bytes);
        files
    }

    #[test]
    fn a_dark_logo_is_lost_on_a_dark_band_and_a_light_one_is_not() {
        let screen = |inside: &str, band: Option<&str>| {
            let found = lost(&svg(inside), "images/l.svg", band.and_then(Colour::read));
            found.map(|(screen, _)| screen)
        };
        assert_eq!(screen("<path fill=\"#1b3020\" d=\"M0 0h1\"/>", None), Some("a light"));
        assert_eq!(screen("<path d=\"M0 0h1\"/>", None), Some("a light"), "black where nothing is said");
        assert_eq!(screen("<g style=\"fill: #ffffff\"><path d=\"M0 0h1\"/></g>", None), None);
        assert_eq!(screen("<path fill=\"none\" stroke=\"white\" d=\"M0 0h1\"/>", None), None);
        // On yellow it can be read, and not on the dim yellow of a dark screen.
        assert_eq!(screen("<path d=\"M0 0h1\"/>", Some("#ffd400")), Some("a dark"));
        // What cannot be known is not blamed.
        assert_eq!(screen("<style>path { fill: white }</style><path d=\"M0 0h1\"/>", None), None);
        assert_eq!(screen("<path fill=\"url(#shine)\" d=\"M0 0h1\"/>", None), None);
    }

    #[test]
    fn the_clear_points_of_a_logo_do_not_count() {
        assert!(lost(&dots([30, 60, 40]), "images/l.png", None).is_some());
        assert_eq!(lost(&dots([250, 250, 250]), "images/l.png", None), None);
        assert_eq!(lost(&dots([0, 0, 0]), "images/none.png", None), None);
    }
}
