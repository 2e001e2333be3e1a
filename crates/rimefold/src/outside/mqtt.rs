//! Messages over MQTT: subscribed to, passed on, asked for again after the line was cut.

use std::time::Duration;

use rumqttc::v5;
use rumqttc::{Client, Event, Incoming, MqttOptions, QoS};

/// A broker and the topics that are asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Subscription {
    /// Its name or address.
    pub host: String,
    /// Port.
    pub port: u16,
    /// Name and password to log in with.
    pub login: Option<(String, String)>,
    /// Topics.
    pub topics: Vec<String>,
}

/// Longest message, bytes; more is never read in.
const LARGEST: usize = 64 * 1024;
const KEEP_ALIVE: Duration = Duration::from_secs(30);
/// Pause after a line that was cut or could not be had: doubled each time up to the longest.
const PAUSE: Duration = Duration::from_secs(1);
const LONGEST_PAUSE: Duration = Duration::from_secs(300);
/// Lines that break at once this often under version 5 are tried under 3.1.1, and the other way round.
const CHANGES_AFTER: u32 = 2;

/// Listens on the calling thread while `still` says so: version 5 first, then 3.1.1 for brokers that know no other. `heard`
/// gets topic and message.
pub fn listen(to: &Subscription, still: impl Fn() -> bool, mut heard: impl FnMut(&str, &[u8])) {
    let (mut pause, mut failed, mut fifth) = (PAUSE, 0_u32, true);
    while still() {
        let mut any = false;
        let mut passed = |topic: &str, message: &[u8]| {
            any = true;
            heard(topic, message);
            still()
        };
        if fifth {
            listen_fifth(to, &mut passed)
        } else {
            listen_third(to, &mut passed)
        };
        if any {
            (pause, failed) = (PAUSE, 0);
        } else {
            failed += 1;
            if failed >= CHANGES_AFTER {
                (failed, fifth) = (0, !fifth);
            }
        }
        std::thread::sleep(pause);
        pause = (pause * 2).min(LONGEST_PAUSE);
    }
}

/// A name that no other program has: two of one name would throw each other out.
fn client_name() -> String {
    let random = crate::outside::random::sixteen_bytes().unwrap_or_default();
    let hex: String = random.iter().take(8).map(|b| format!("{b:02x}")).collect();
    format!("rimefold-{hex}")
}

/// What either version tells.
enum Told {
    /// The broker has let us in.
    In,
    /// A message under a topic.
    Message(String, Vec<u8>),
    /// Anything else.
    Other,
}

/// Hears what comes until the line is cut or nobody wants to hear any more; `subscribe` asks for a topic.
fn hear(
    to: &Subscription,
    told: impl Iterator<Item = Option<Told>>,
    subscribe: impl Fn(&str),
    heard: &mut dyn FnMut(&str, &[u8]) -> bool,
) {
    for told in told {
        match told {
            Some(Told::In) => to.topics.iter().for_each(|topic| subscribe(topic)),
            Some(Told::Message(topic, message)) if !heard(&topic, &message) => return,
            Some(Told::Message(..) | Told::Other) => {}
            None => return,
        }
    }
}

fn listen_fifth(to: &Subscription, heard: &mut dyn FnMut(&str, &[u8]) -> bool) {
    use v5::mqttbytes::QoS;
    use v5::{Client, Event, Incoming, MqttOptions};
    let mut options = MqttOptions::new(client_name(), &to.host, to.port);
    options.set_keep_alive(KEEP_ALIVE);
    options.set_max_packet_size(Some(LARGEST as u32));
    if let Some((user, password)) = &to.login {
        options.set_credentials(user, password);
    }
    let (client, mut connection) = Client::new(options, 16);
    let told = connection.iter().map(|event| match event {
        Ok(Event::Incoming(Incoming::ConnAck(_))) => Some(Told::In),
        Ok(Event::Incoming(Incoming::Publish(p))) => {
            Some(Told::Message(String::from_utf8_lossy(&p.topic).into_owned(), p.payload.to_vec()))
        }
        Ok(_) => Some(Told::Other),
        Err(_) => None,
    });
    let subscribe = |topic: &str| drop(client.try_subscribe(topic, QoS::AtLeastOnce));
    hear(to, told, subscribe, heard);
}

/// The same in version 3.1.1.
fn listen_third(to: &Subscription, heard: &mut dyn FnMut(&str, &[u8]) -> bool) {
    let mut options = MqttOptions::new(client_name(), &to.host, to.port);
    options.set_keep_alive(KEEP_ALIVE);
    options.set_max_packet_size(LARGEST, LARGEST);
    if let Some((user, password)) = &to.login {
        options.set_credentials(user, password);
    }
    let (client, mut connection) = Client::new(options, 16);
    let told = connection.iter().map(|event| match event {
        Ok(Event::Incoming(Incoming::ConnAck(_))) => Some(Told::In),
        Ok(Event::Incoming(Incoming::Publish(p))) => {
            Some(Told::Message(p.topic, p.payload.to_vec()))
        }
        Ok(_) => Some(Told::Other),
        Err(_) => None,
    });
    let subscribe = |topic: &str| drop(client.try_subscribe(topic, QoS::AtLeastOnce));
    hear(to, told, subscribe, heard);
}
