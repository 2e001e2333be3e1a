//! The hoops of a bed: material, thickness, shape, and two of length, span and height.

use structure::wire_gauge::STEEL_WIRE_IN;
use structure::{Arch, Error, Material, Section, Shape};

use crate::file::table::{Reader, Table};
use crate::hoops::{Curve, Hoops};
use crate::schema::unit::SHORT;

/// Least length above ground that can stand as a hoop, m (own choice).
const LEAST_ABOVE_M: f64 = 0.05;
/// Least length above ground over the span: a flatter hoop is none (own choice).
const LEAST_SLACK: f64 = 1.02;

/// Hoops, or `None` after saying what is wrong.
pub fn hoops(r: &mut Reader, t: &Table<'_>) -> Option<Hoops> {
    let material = t.word(r, "material");
    let section = section(r, t, material);
    let length_m = t.number(r, "length");
    let bury_m = t.number(r, "bury");
    let spacing_m = t.number(r, "spacing");
    let shape = shape(r, t, material);
    let span_m = t.number(r, "span");
    let height_m = t.number(r, "height");
    let purlin = t.flag(r, "purlin").unwrap_or(false);
    let above_m = length_m? - 2.0 * bury_m?;
    let arch = arch(r, t, shape?, above_m, (span_m, height_m))?;
    Some(Hoops {
        length_m: length_m?,
        bury_m: bury_m?,
        spacing_m: spacing_m?,
        arch,
        material: material?,
        section: section?,
        purlin,
    })
}

/// Cross-section from a wire gauge, a diameter, or a diameter and a wall.
pub fn section(r: &mut Reader, t: &Table<'_>, material: Option<Material>) -> Option<Section> {
    if t.has("wire_gauge", r.units) {
        let gauge = t.number(r, "wire_gauge")?;
        let wire = structure::wire_gauge::wire(gauge);
        if wire.is_err() {
            let known: Vec<String> = STEEL_WIRE_IN.iter().map(|g| g.0.to_string()).collect();
            r.fault(
                t.span_of("wire_gauge"),
                format!("there is no wire of gauge {gauge}"),
                &format!("US steel wire gauge {}", known.join(", ")),
            );
        }
        return wire.ok();
    }
    let diameter_m = t.number(r, "diameter");
    if !matches!(material?, Material::PvcPipe | Material::PePipe | Material::Conduit) {
        return Section::round(diameter_m?).ok();
    }
    let wall_m = t.number(r, "wall")?;
    let tube = Section::tube(diameter_m?, wall_m);
    if tube.is_err() {
        let expected = "a wall thinner than half the diameter";
        r.fault(t.span.clone(), "such a thick wall leaves no pipe".into(), expected);
    }
    tube.ok()
}

/// What springs back stands as an elastica; what is bent keeps the shape it was given, an arc if nothing is said.
fn shape(r: &mut Reader, t: &Table<'_>, material: Option<Material>) -> Option<Shape> {
    let springs = material.is_some_and(|m| !m.properties().keeps_shape);
    if springs && t.has("shape", r.units) {
        let expected = "no shape: it stands as it springs between its feet";
        r.fault(t.span_of("shape"), "this material keeps no shape".into(), expected);
    }
    if springs {
        return Some(Shape::Elastica);
    }
    Some(match t.word(r, "shape") {
        Some(Curve::HalfEllipse) => Shape::HalfEllipse,
        Some(Curve::Former) => Shape::Bent { radius_m: t.number(r, "radius")? },
        Some(Curve::Arc) | None => Shape::Arc,
    })
}

fn arch(
    r: &mut Reader,
    t: &Table<'_>,
    shape: Shape,
    above_m: f64,
    (span_m, height_m): (Option<f64>, Option<f64>),
) -> Option<Arch> {
    if above_m <= LEAST_ABOVE_M {
        let expected = "a length well above twice what is buried";
        r.fault(t.span.clone(), "nothing of these hoops is above ground".into(), expected);
        return None;
    }
    let arch = match (span_m, height_m) {
        (Some(span_m), None) if span_m >= above_m / LEAST_SLACK => {
            let longest = shown(r, above_m / LEAST_SLACK);
            r.fault(
                t.span.clone(),
                "these hoops cannot stand: what is above ground is no longer than the span".into(),
                &format!("a span below {longest}: length − 2 × bury must be well above it"),
            );
            return None;
        }
        (Some(span_m), None) => Arch::from_length_and_span(shape, above_m, span_m),
        (None, Some(rise_m)) => Arch::from_length_and_rise(shape, above_m, rise_m),
        // One that is there and out of its range has been told of.
        _ if ["span", "height"].iter().any(|k| t.has(k, r.units)) => return None,
        _ => {
            let say = "hoops have either a span or a height; the other follows from their length";
            r.fault(t.span.clone(), say.into(), "one of span and height");
            return None;
        }
    };
    arch.map_err(|e| fault(r, t, &e)).ok()
}

fn fault(r: &mut Reader, t: &Table<'_>, error: &Error) {
    let (message, expected) = match error {
        Error::OutOfRange { quantity, value, low, high, .. } => {
            let [value, low, high] = [*value, *low, *high].map(|x| shown(r, x));
            (
                format!("these hoops cannot stand: {quantity} is {value}"),
                format!("{quantity} from {low} to {high}"),
            )
        }
        other => (other.to_string(), "hoops that can stand".into()),
    };
    r.fault(t.span.clone(), message, &expected);
}

/// A length in the units of the file.
fn shown(r: &Reader, si: f64) -> String {
    let scale = SHORT.pick(r.units);
    format!("{:.1} {}", si / scale.si, scale.shown)
}
