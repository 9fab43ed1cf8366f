//! Drawings as PNG. The letters are those the widths of drawings are made for, and come with the program: the same drawing
//! gives the same dots on every machine.

use resvg::{
    tiny_skia::{Pixmap, Transform},
    usvg::{Options, Tree},
};

/// Dots to the inch: what a good printer shows.
const DOTS: f32 = 300.0;

/// The most dots a picture may have: a sheet of A3.
const MOST: u32 = 5000;

/// An SVG that stands alone as a PNG.
///
/// # Errors
/// In words, why there is none.
pub fn png(svg: &str) -> Result<Vec<u8>, String> {
    let mut options = Options { dpi: DOTS, font_family: "DejaVu Sans".into(), ..Options::default() };
    let fonts = options.fontdb_mut();
    fonts.load_font_data(dejavu::sans::regular().to_vec());
    fonts.load_font_data(dejavu::sans::bold().to_vec());
    let tree =
        Tree::from_str(svg, &options).map_err(|error| format!("the drawing cannot be turned into dots: {error}"))?;
    let size = tree.size().to_int_size();
    let scale = (MOST as f32 / size.width().max(size.height()) as f32).min(1.0);
    let side = |dots: u32| ((dots as f32 * scale).round() as u32).max(1);
    let mut map = Pixmap::new(side(size.width()), side(size.height()))
        .ok_or_else(|| "the drawing is too large to be turned into dots".to_owned())?;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut map.as_mut());
    map.encode_png().map_err(|error| format!("the drawing cannot be written as PNG: {error}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_drawing_becomes_dots_at_full_size() {
        let svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"25.4mm\" height=\"12.7mm\" viewBox=\"0 0 25.4 12.7\"><text x=\"2\" y=\"8\" font-size=\"4\">A</text></svg>";
        let png = png(svg).unwrap();
        assert_eq!(&png[1..4], b"PNG");
        // Width and height stand at the head of every PNG.
        assert_eq!((&png[16..20], &png[20..24]), ([0, 0, 1, 44].as_slice(), [0, 0, 0, 150].as_slice()));
        let blank = super::png(&svg.replace(">A<", "><")).unwrap();
        assert_ne!(png, blank, "the letter leaves dots");
        assert!(super::png("<svg").is_err());
    }
}
