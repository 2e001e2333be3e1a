//! Where the forecast is fetched from.

use crate::file::table::{Reader, Table};
use crate::forecast::{ForecastFrom, Service};

/// Where the forecast is fetched from.
pub fn forecast(r: &mut Reader, t: &Table<'_>) -> Option<ForecastFrom> {
    let from: Option<Service> = t.word(r, "from");
    let (mut address, mut contact) = (None, None);
    match from {
        Some(Service::Address) => {
            address = t.text(r, "address");
            let web = |a: &String| ["https://", "http://"].iter().any(|s| a.starts_with(s));
            if address.as_ref().is_some_and(|a| !web(a)) {
                let message = "the address is none of the web".to_owned();
                r.fault(t.span_of("address"), message, "an address that begins with https://");
                return None;
            }
            address.as_ref()?;
        }
        Some(Service::UsWeatherService | Service::MetNorway) => {
            contact = t.text(r, "contact");
            contact.as_ref()?;
        }
        Some(Service::OpenMeteo) | None => {}
    }
    let every_h = t.number(r, "every_h");
    Some(ForecastFrom { from: from?, address, contact, every_h: every_h? })
}
