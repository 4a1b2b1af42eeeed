//! What a row of the evaluation is about: a port, a cylinder or the head, and where on it.

use std::fmt;

use crate::Phrase;

/// What a valve lets through.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Service {
    /// Fresh charge in.
    Intake,
    /// Burnt gas out.
    Exhaust,
}

impl Service {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Intake => "intake",
            Self::Exhaust => "exhaust",
        }
    }
}

/// One valve position: cylinder, service and index among the cylinder's valves of that service, from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PortId {
    /// Cylinder number from 1.
    pub cylinder: u8,
    /// Intake or exhaust.
    pub service: Service,
    /// Index from 1.
    pub index: u8,
}

impl PortId {
    /// Its name inside a sentence.
    #[must_use]
    pub fn phrase(self) -> Phrase {
        let name = match self.service {
            Service::Intake => Phrase::plain("port-intake"),
            Service::Exhaust => Phrase::plain("port-exhaust"),
        };
        name.and("cylinder", self.cylinder).and("index", self.index)
    }
}

impl fmt::Display for PortId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "cylinder {} {} {}", self.cylinder, self.service.word(), self.index)
    }
}

/// What is judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Subject {
    /// The head as a whole.
    Head,
    /// One cylinder (its chamber).
    Cylinder(u8),
    /// One port.
    Port(PortId),
}

impl fmt::Display for Subject {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Head => f.write_str("head"),
            Self::Cylinder(cylinder) => write!(f, "cylinder {cylinder}"),
            Self::Port(port) => port.fmt(f),
        }
    }
}

/// Where on the subject the judged value was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Place {
    /// It has only one place.
    Whole,
    /// The n-th of `of` positions round the seat or face, from 1, in the order measured.
    Around {
        /// From 1.
        position: u16,
        /// How many were measured.
        of: u16,
    },
    /// Along a guide: position and measuring axis (1 or 2).
    Along {
        /// Top, middle or bottom.
        position: Position,
        /// Axis from 1.
        axis: u8,
    },
    /// The n-th spring of a nested set, from 1, outer first as posted.
    Spring(u8),
    /// The n-th entry of a list, from 1 (feeler lines, named readings).
    Entry(u16),
    /// At one height along a guide or stem.
    Level(Position),
    /// About the n-th height of the deck, from 1.
    Height(u16),
    /// In a direction round a seat or face, in tenths of a degree.
    Toward(i16),
    /// Where seat and face touch first.
    Touching(Edge),
    /// At one port among those that are compared.
    Port(PortId),
}

/// Where seat and face touch first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Edge {
    /// On the seat's outer edge.
    SeatOuter,
    /// On the seat's inner edge.
    SeatInner,
    /// On the face's outer edge, which ends inside the seat.
    FaceOuter,
    /// On the face's inner edge, which begins inside the seat.
    FaceInner,
    /// All over: the angles are the same.
    Everywhere,
}

/// Height along a guide or stem.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Position {
    /// Spring side.
    Top,
    /// In between.
    Middle,
    /// Port side.
    Bottom,
}

impl Position {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Top => "top",
            Self::Middle => "middle",
            Self::Bottom => "bottom",
        }
    }

    /// Its name inside a sentence.
    #[must_use]
    pub const fn phrase(self) -> Phrase {
        match self {
            Self::Top => Phrase::plain("height-top"),
            Self::Middle => Phrase::plain("height-middle"),
            Self::Bottom => Phrase::plain("height-bottom"),
        }
    }
}
