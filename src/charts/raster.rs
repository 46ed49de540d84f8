//! SVG to PNG, with the fonts the widths were measured with; fonts of the machine are never used, so every machine
//! makes the same picture.

use std::sync::{Arc, OnceLock};

use super::measure::in_our_font;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{ImageHrefResolver, Options, Tree, fontdb};

/// Why a picture could not be made.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum RasterFault {
    /// The scale is no usable factor.
    #[error("The picture scale {0} cannot be used. Give a factor above 0 and up to 16, such as 2.")]
    Scale(f64),
    /// The text is no SVG drawing.
    #[error(
        "The drawing could not be read as SVG ({0}). Draw the chart again, or keep the SVG file as it is."
    )]
    Svg(#[from] resvg::usvg::Error),
    /// The picture would not fit into memory.
    #[error(
        "A picture of {0} by {1} pixels is too large. Use a smaller scale, or keep the SVG file."
    )]
    TooLarge(u32, u32),
    /// The pixels could not be packed.
    #[error("The picture could not be packed as PNG ({0}). Keep the SVG file instead.")]
    Pack(String),
}

/// Largest scale; a 760 px chart is then 12,160 px wide, beyond any print.
const MOST_SCALE: f64 = 16.0;
/// Most pixels: 256 MB of memory at four bytes each.
const MOST_PIXELS: u64 = 64_000_000;

fn fonts() -> Arc<fontdb::Database> {
    static FONTS: OnceLock<Arc<fontdb::Database>> = OnceLock::new();
    Arc::clone(FONTS.get_or_init(|| {
        let mut fonts = fontdb::Database::new();
        fonts.load_font_data(dejavu::sans_condensed::regular().to_vec());
        fonts.load_font_data(dejavu::sans_condensed::bold().to_vec());
        // The face calls itself "DejaVu Sans" with a condensed width; only these two faces are here to choose from.
        fonts.set_sans_serif_family("DejaVu Sans");
        Arc::new(fonts)
    }))
}

/// A drawing read with the project's type and no other; signs that the type lacks become question marks.
pub(crate) fn tree(svg: &str) -> Result<Tree, RasterFault> {
    let options = Options {
        fontdb: fonts(),
        // A drawing names no file of the machine.
        image_href_resolver: ImageHrefResolver {
            resolve_string: Box::new(|_, _| None),
            ..ImageHrefResolver::default()
        },
        font_family: "DejaVu Sans".to_string(),
        ..Options::default()
    };
    let svg: String = svg.chars().filter_map(in_our_font).collect();
    Ok(Tree::from_str(&svg, &options)?)
}

/// Whether anything at all can be seen of a drawing.
pub(crate) fn shows(svg: &str) -> bool {
    let pixels = tree(svg).ok().and_then(|tree| {
        let size = tree.size();
        let mut pixels = Pixmap::new(size.width().ceil() as u32, size.height().ceil() as u32)?;
        resvg::render(&tree, Transform::identity(), &mut pixels.as_mut());
        Some(pixels)
    });
    pixels.is_some_and(|pixels| pixels.pixels().iter().any(|pixel| pixel.alpha() > 0))
}

/// PNG bytes of an SVG drawing, `scale` pixels to each of its units (2 suits most screens and print).
///
/// # Errors
/// [`RasterFault`] if the scale is not above 0 and up to 16, the text is not SVG, or the picture is too large.
pub fn png(svg: &str, scale: f64) -> Result<Vec<u8>, RasterFault> {
    if !(scale > 0.0 && scale <= MOST_SCALE) {
        return Err(RasterFault::Scale(scale));
    }
    let tree = tree(svg)?;
    let side = |length: f32| {
        (f64::from(length) * scale)
            .round()
            .clamp(1.0, f64::from(u32::MAX)) as u32
    };
    let (width, height) = (side(tree.size().width()), side(tree.size().height()));
    if u64::from(width) * u64::from(height) > MOST_PIXELS {
        return Err(RasterFault::TooLarge(width, height));
    }
    let mut pixels = Pixmap::new(width, height).ok_or(RasterFault::TooLarge(width, height))?;
    resvg::render(
        &tree,
        Transform::from_scale(scale as f32, scale as f32),
        &mut pixels.as_mut(),
    );
    pixels
        .encode_png()
        .map_err(|fault| RasterFault::Pack(fault.to_string()))
}
