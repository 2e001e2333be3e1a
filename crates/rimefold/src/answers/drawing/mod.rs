//! What drawings share: letters that are safe, a plot's frame, hatches of covers; the garden from above, the sheets to one scale.

pub mod hatch;
pub mod plan;
pub mod scale;
pub mod sheets;

/// Text that is safe inside SVG.
pub fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// Attributes of a drawing that is one picture.
pub const PICTURE: &str = "role=\"img\"";

/// The opening tag of a drawing on a page, `sized` where it keeps its size; `label` is read to those who do not see it.
pub fn on_page(
    class: &str,
    [wide, high]: [f64; 2],
    sized: bool,
    attributes: &str,
    label: &str,
) -> String {
    let size =
        if sized { format!("width=\"{wide:.0}\" height=\"{high:.0}\" ") } else { String::new() };
    format!(
        "<svg class=\"{class}\" {size}viewBox=\"0 0 {wide:.0} {high:.0}\" {attributes} aria-label=\"{}\">",
        escape(label)
    )
}

/// The head of a drawing in a file of its own: its box as left, top, width and height, letters and lines, title.
pub fn in_file([left, top, wide, high]: [f64; 4], style: &str, title: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{left:.0} {top:.0} {wide:.0} {high:.0}\" role=\"img\" \
         font-family=\"system-ui, sans-serif\" {style}>\n<title>{}</title>\n",
        escape(title)
    )
}
