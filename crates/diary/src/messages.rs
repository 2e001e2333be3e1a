//! What people were told, whom it reached, who has seen it. Not part of what is exported.

use jiff::civil::Date;
use quantities::Moment;
use rusqlite::{OptionalExtension as _, Row, params};

use crate::database::Diary;
use crate::error::{DatabaseError, Error, damaged};
use crate::id::Id;
use crate::keyword::{Keyword, stored};

/// What a message is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MessageKind {
    /// The plan of the evening, or that nothing is to be done.
    Evening,
    /// The plan is another than was told.
    Change,
    /// What was told to be covered need not be.
    AllClear,
    /// The night is colder than was told, or a bed is near its limit.
    Night,
    /// What must be opened.
    Morning,
    /// There is no plan for the evening.
    NoPlan,
    /// Something that is needed cannot be had.
    Blind,
    /// It can be had again.
    SeesAgain,
    /// What is looked at from time to time.
    Upkeep,
}

impl Keyword for MessageKind {
    const KEYWORDS: &'static [(Self, &'static str)] = &[
        (Self::Evening, "evening"),
        (Self::Change, "change"),
        (Self::AllClear, "all clear"),
        (Self::Night, "night"),
        (Self::Morning, "morning"),
        (Self::NoPlan, "no plan"),
        (Self::Blind, "blind"),
        (Self::SeesAgain, "sees again"),
        (Self::Upkeep, "upkeep"),
    ];
}

/// A message as it was written.
#[derive(Clone, Debug, PartialEq)]
pub struct Message {
    /// Its name for ever: the same thing said again has the same.
    pub id: Id,
    /// What it is for.
    pub kind: MessageKind,
    /// Local date of the evening it belongs to.
    pub night: Date,
    /// Whether plants are in danger.
    pub urgent: bool,
    /// When it was written.
    pub at: Moment,
    /// Of no use after this.
    pub until: Moment,
    /// What it is about, as JSON.
    pub about: String,
    /// Its lines: what to do first, where to look last.
    pub text: String,
}

/// A try to hand a message to somebody.
#[derive(Clone, Debug, PartialEq)]
pub struct Delivery {
    /// The message.
    pub message: Id,
    /// To whom.
    pub recipient: String,
    /// When.
    pub at: Moment,
    /// Why it was not taken; `None` where it was.
    pub refused: Option<String>,
}

/// Messages of a stretch of time with what became of them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Messages {
    /// In the order written.
    pub messages: Vec<Message>,
    /// Tries to hand them over, in order.
    pub deliveries: Vec<Delivery>,
    /// Those that somebody has seen, and when.
    pub seen: Vec<(Id, Moment)>,
}

fn id(text: String) -> Result<Id, DatabaseError> {
    Id::try_from(text).map_err(damaged)
}

fn message(row: &Row<'_>) -> Result<Message, DatabaseError> {
    let night: String = row.get("night")?;
    Ok(Message {
        id: id(row.get("id")?)?,
        kind: stored(&row.get::<_, String>("kind")?)?,
        night: night.parse().map_err(|_| damaged(format!("it holds the date `{night}`")))?,
        urgent: row.get("urgent")?,
        at: Moment(row.get("at")?),
        until: Moment(row.get("until")?),
        about: row.get("about")?,
        text: row.get("text")?,
    })
}

impl Diary {
    /// Keeps a message; whether it is new: one that is there already stays as it was.
    ///
    /// Checked by `watcher::death_at_any_point_loses_no_message_and_doubles_none_in_the_diary` of `watch`.
    ///
    /// # Errors
    /// The diary cannot be written.
    pub fn keep_message(&mut self, m: &Message) -> Result<bool, Error> {
        self.write(|db| {
            let mut add = db.prepare_cached(
                "INSERT INTO message (id, kind, night, urgent, at, until, about, text)
                 VALUES (?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (id) DO NOTHING",
            )?;
            let added = add.execute(params![
                m.id.as_str(),
                m.kind.keyword(),
                m.night.to_string(),
                m.urgent,
                m.at.0,
                m.until.0,
                m.about,
                m.text
            ])?;
            Ok(added == 1)
        })
    }

    /// Keeps a try to hand a message over.
    ///
    /// # Errors
    /// The diary cannot be written.
    pub fn keep_delivery(&mut self, d: &Delivery) -> Result<(), Error> {
        self.write(|db| {
            db.prepare_cached(
                "INSERT INTO delivery (message, recipient, at, refused) VALUES (?, ?, ?, ?)",
            )?
            .execute(params![d.message.as_str(), d.recipient, d.at.0, d.refused])?;
            Ok(())
        })
    }

    /// Keeps that somebody has seen a message; whether there is such a message.
    ///
    /// # Errors
    /// The diary cannot be written.
    pub fn see_message(&mut self, message: &Id, at: Moment) -> Result<bool, Error> {
        self.write(|db| {
            let known: Option<i64> = db
                .prepare_cached("SELECT number FROM message WHERE id = ?")?
                .query_row([message.as_str()], |r| r.get(0))
                .optional()?;
            if known.is_some() {
                db.prepare_cached(
                    "INSERT INTO seen (message, at) VALUES (?, ?) ON CONFLICT DO NOTHING",
                )?
                .execute(params![message.as_str(), at.0])?;
            }
            Ok(known.is_some())
        })
    }

    /// Messages written since a moment, with what became of them.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn messages_since(&self, since: Moment) -> Result<Messages, Error> {
        self.read(|db| {
            let mut query =
                db.prepare_cached("SELECT * FROM message WHERE at >= ? ORDER BY number")?;
            let mut rows = query.query([since.0])?;
            let mut out = Messages::default();
            while let Some(row) = rows.next()? {
                out.messages.push(message(row)?);
            }
            let mut query = db.prepare_cached(
                "SELECT d.* FROM delivery d JOIN message m ON m.id = d.message
                 WHERE m.at >= ? ORDER BY d.number",
            )?;
            let mut rows = query.query([since.0])?;
            while let Some(row) = rows.next()? {
                out.deliveries.push(Delivery {
                    message: id(row.get("message")?)?,
                    recipient: row.get("recipient")?,
                    at: Moment(row.get("at")?),
                    refused: row.get("refused")?,
                });
            }
            let mut query = db.prepare_cached(
                "SELECT s.* FROM seen s JOIN message m ON m.id = s.message WHERE m.at >= ?",
            )?;
            let mut rows = query.query([since.0])?;
            while let Some(row) = rows.next()? {
                out.seen.push((id(row.get("message")?)?, Moment(row.get("at")?)));
            }
            Ok(out)
        })
    }
}
