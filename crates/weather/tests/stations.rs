//! Lists of stations: read whole, and the nearest of them sought.

use jiff::civil::Date;
use quantities::Place;
use weather::station::{list, nearest};

#[test]
fn the_list_reads_whole() {
    let Some(bytes) = measured_data::file("stations/noaa_normals_allstations.txt") else { return };
    let stations = list::read(&bytes).expect("reads");
    assert_eq!(stations.len(), 9887);
    let milwaukee =
        stations.iter().find(|s| s.id.as_deref() == Some("USW00014839")).expect("listed");
    assert_eq!(milwaukee.name.as_deref(), Some("MILWAUKEE MITCHELL AP"));
    let place = milwaukee.place().expect("placed");
    assert_eq!(
        (place.latitude_deg, place.longitude_deg, place.elevation_m),
        (42.955, -87.9044, 204.2)
    );
    assert!(list::read(b"USC00053005  40.61x7 -105.1314 1525.2 CO FT COLLINS").is_err());
    assert!(list::read(b"short").is_err() && list::read(b"").is_err());
}

#[test]
fn an_inventory_adds_years() {
    let mut stations =
        list::read(b"USC00053005  40.6147 -105.1314 1525.2 CO FT COLLINS\n").expect("reads");
    let inventory = b"USC00053005  40.6147 -105.1314 TMAX 1893 2026\nUSC00053005  40.6147 -105.1314 TMIN 1893 2026\n";
    list::add_years(&mut stations, inventory).expect("reads");
    assert_eq!(stations[0].years, Some((1893, 2026)));
    let here = Place { latitude_deg: 40.6, longitude_deg: -105.1, elevation_m: 1500.0 };
    assert_eq!(nearest(&stations, &here, 3, 30).len(), 1);
    assert_eq!(nearest(&stations, &here, 3, 200).len(), 0);
}

/// Day of the year of the published median last 32 °F, by station.
fn published_last() -> Option<Vec<(String, f64)>> {
    let bytes = measured_data::file("stations/noaa_normals_1981-2010_ann-tmin-prblst-t32Fp50.txt")?;
    let text = String::from_utf8(bytes).expect("text");
    let dated = text.lines().filter_map(|line| {
        let (m, d) = line.get(11..)?.trim().get(..5)?.split_once('/')?;
        let day = Date::new(2001, m.parse().ok()?, d.parse().ok()?).ok()?.day_of_year();
        Some((line[..11].to_owned(), f64::from(day)))
    });
    Some(dated.collect())
}

/// The nearest station's published date is a better guess with height counted than without, above all in hills.
#[test]
fn height_counts_when_the_nearest_is_sought() {
    let (Some(bytes), Some(dates)) =
        (measured_data::file("stations/noaa_normals_allstations.txt"), published_last())
    else {
        return;
    };
    let dates: std::collections::HashMap<String, f64> = dates.into_iter().collect();
    let mut stations = list::read(&bytes).expect("reads");
    stations.retain(|s| {
        s.place().is_some()
            && s.id.as_ref().is_some_and(|i| i.starts_with("US") && dates.contains_key(i))
    });
    let date_of = |s: &weather::Station| dates[s.id.as_ref().expect("kept above")];
    let (mut plain, mut weighed, mut hilly, mut count, mut hills) = (0.0, 0.0, [0.0; 2], 0.0, 0.0);
    // Every fifth station stands for all.
    for station in stations.iter().step_by(5) {
        let place = station.place().expect("placed");
        let near = nearest(&stations, &place, 2, 0);
        assert!(near[0].weighed_km <= near[1].weighed_km);
        let other = if near[0].station.id == station.id { near[1] } else { near[0] };
        let by_distance = stations
            .iter()
            .filter(|s| s.id != station.id)
            .min_by(|a, b| {
                let km = |s: &weather::Station| s.place().expect("placed").distance_km(&place);
                km(a).total_cmp(&km(b))
            })
            .expect("many");
        let off = |s: &weather::Station| (date_of(s) - date_of(station)).abs();
        plain += off(by_distance);
        weighed += off(other.station);
        count += 1.0;
        if (by_distance.elevation_m.expect("placed") - place.elevation_m).abs() > 100.0 {
            hilly[0] += off(by_distance);
            hilly[1] += off(other.station);
            hills += 1.0;
        }
    }
    println!(
        "last 32 °F of the nearest station, off by: {:.2} d by distance, {:.2} d with height; in hills {:.2} and {:.2} d ({count} and {hills} stations)",
        plain / count,
        weighed / count,
        hilly[0] / hills,
        hilly[1] / hills,
    );
    assert!(weighed < plain && hilly[1] < 0.95 * hilly[0]);
}
