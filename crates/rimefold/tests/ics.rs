//! The calendar read back by another reader, and by the rules of RFC 5545.

use icalendar::{Calendar, CalendarComponent, CalendarDateTime, Component as _, DatePerhapsTime};
use jiff::Timestamp;
use jiff::civil::date;

#[path = "../src/answers/calendar.rs"]
mod writer;

use writer::{Event, When, calendar};

const WORDS: [&str; 5] = [
    "Set out kale; cover it, then wait",
    "A back\\slash, a semi;colon\nand a second line",
    "Très long: planter les épinards sous le voile, à moins qu'il ne gèle; « attendre », peut-être, jusqu'à la lune montante",
    "日本語の長い件名は一文字三オクテットなので、七十五オクテットの境目が文字の途中に来ることがあります。",
    "",
];

fn events() -> Vec<Event> {
    WORDS
        .iter()
        .enumerate()
        .map(|(i, words)| Event {
            uid: format!("bed-{i}@example.org"),
            when: When::Days { first: date(2028, 2, 28), last: date(2028, 2, 28 + (i % 2) as i8) },
            summary: (*words).to_owned(),
            description: words.repeat(3),
        })
        .collect()
}

fn written() -> String {
    let at: Timestamp = "2028-01-05T06:07:08Z".parse().expect("a time");
    calendar("My garden, north", at, &events())
}

/// RFC 5545, 3.1: CRLF after every line and nowhere else, lines of at most 75 octets.
#[test]
fn lines_are_folded_and_end_as_the_standard_says() {
    let text = written();
    assert!(text.ends_with("END:VCALENDAR\r\n"));
    for line in text.split_terminator("\r\n") {
        assert!(line.len() <= 75, "{line}");
        assert!(!line.contains(['\r', '\n']), "{line:?}");
    }
    assert!(text.lines().any(|l| l.starts_with(' ')), "something was long enough to fold");
}

/// A reader of the registries, written by others.
#[test]
fn another_reader_reads_what_was_meant() {
    let read: Calendar = written().parse().expect("a calendar");
    let got: Vec<_> = read
        .components
        .iter()
        .filter_map(|c| if let CalendarComponent::Event(e) = c { Some(e) } else { None })
        .collect();
    assert_eq!(got.len(), WORDS.len());
    for (i, (event, meant)) in got.iter().zip(events()).enumerate() {
        assert_eq!(event.get_uid(), Some(meant.uid.as_str()));
        assert_eq!(event.get_summary().unwrap_or_default(), meant.summary);
        assert_eq!(event.get_description().unwrap_or_default(), meant.description);
        let day = |d: Option<DatePerhapsTime>| match d {
            Some(DatePerhapsTime::Date(d)) => d.to_string(),
            other => format!("{other:?}"),
        };
        assert_eq!(day(event.get_start()), "2028-02-28");
        // The end is the day after the last; 2028 has a 29 February.
        assert_eq!(day(event.get_end()), if i % 2 == 0 { "2028-02-29" } else { "2028-03-01" });
        let stamp = event.get_timestamp().expect("a stamp");
        assert_eq!(stamp.to_rfc3339(), "2028-01-05T06:07:08+00:00");
        assert!(!matches!(
            event.get_start(),
            Some(DatePerhapsTime::DateTime(CalendarDateTime::Utc(_)))
        ));
    }
}

/// RFC 5545, 3.3.11, its own example of escaped text.
#[test]
fn the_standards_example_of_text_comes_out_as_printed() {
    let event = Event {
        uid: "a".into(),
        when: When::Days { first: date(2028, 5, 1), last: date(2028, 4, 1) },
        summary: "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.".into(),
        description: String::new(),
    };
    let text = calendar("", Timestamp::UNIX_EPOCH, &[event]).replace("\r\n ", "");
    let printed = "SUMMARY:Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared.\r\n";
    assert!(text.contains(printed), "{text}");
    assert!(text.contains("DTEND;VALUE=DATE:20280502\r\n"), "an end before the start is one day");
}

/// RFC 5545, 3.3.5 (UTC times end in Z), 3.8.6.3 (a trigger before the start is a negative duration).
#[test]
fn a_time_of_day_rings_before_it() {
    let at = |text: &str| text.parse::<Timestamp>().expect("a time");
    let event = Event {
        uid: "a".into(),
        when: When::Time {
            from: at("2028-05-01T18:30:00Z"),
            to: at("2028-05-01T17:00:00Z"),
            rings_min: vec![60, 0],
        },
        summary: "Cover, then wait".into(),
        description: String::new(),
    };
    let text = calendar("", Timestamp::UNIX_EPOCH, &[event]);
    let has = |line: &str| assert!(text.contains(&format!("{line}\r\n")), "{line}: {text}");
    has("DTSTART:20280501T183000Z");
    // Later than its start, as 3.8.2.2 asks.
    has("DTEND:20280501T183100Z");
    let alarms: Vec<&str> = text.split("BEGIN:VALARM").skip(1).collect();
    assert_eq!(alarms.len(), 2, "{text}");
    assert!(
        alarms[0].contains("ACTION:DISPLAY") && alarms[0].contains("TRIGGER:-PT3600S"),
        "{text}"
    );
    assert!(alarms[1].contains("TRIGGER:P0D"), "{text}");
    assert!(!text.contains(&Timestamp::now().strftime("%Y%m%dT").to_string()), "no clock is asked");
}
