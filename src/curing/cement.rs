//! The cement of a mix: which published rules cover it.

use crate::{
    schema::{CementKind, Mix, Pressure},
    standards::{
        curing::{Ageing, Binder, C1074, Gain, MODEL_CODE},
        pressure::Chemistry,
        weather,
    },
    units::System,
};

/// What is taken when a mix does not say its cement: common practice, no source.
#[must_use]
pub const fn usual_cement(system: System) -> CementKind {
    match system {
        System::Feet => CementKind::TypeI,
        System::Metric => CementKind::ClassN,
    }
}

/// The cement of a mix.
#[must_use]
pub fn cement(mix: &Mix, system: System) -> CementKind {
    mix.cement.unwrap_or(usual_cement(system))
}

/// A published form of how strength grows, with the equivalent age that goes with it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Form {
    /// ACI 209R, by the equivalent age of ASTM C1074.
    Aci(Gain),
    /// EN 1992-1-1 3.1.2, by the equivalent age of its Annex B.
    Ec2(Gain),
}

impl Form {
    /// How strength grows.
    #[must_use]
    pub const fn gain(self) -> Gain {
        match self {
            Form::Aci(gain) | Form::Ec2(gain) => gain,
        }
    }

    /// By which age.
    #[must_use]
    pub const fn ageing(self) -> Ageing {
        match self {
            Form::Aci(_) => C1074,
            Form::Ec2(_) => MODEL_CODE,
        }
    }

    /// The standard.
    #[must_use]
    pub const fn standard(self) -> &'static str {
        match self {
            Form::Aci(_) => "ACI 209R",
            Form::Ec2(_) => "EN 1992-1-1",
        }
    }

    /// The word its numbers go by.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Form::Aci(_) => "aci",
            Form::Ec2(_) => "en",
        }
    }
}

/// The forms for a cement. ACI 209R tells Type I and III, EN 1992-1-1 the classes; that Type I counts as class N, III as
/// R and all slower ones as S is common practice, no source.
#[must_use]
pub fn forms(cement: CementKind) -> Vec<Form> {
    match cement {
        CementKind::TypeI | CementKind::ClassN => vec![Form::Aci(Gain::TYPE_I), Form::Ec2(Gain::CLASS_N)],
        CementKind::TypeIII | CementKind::ClassR => vec![Form::Aci(Gain::TYPE_III), Form::Ec2(Gain::CLASS_R)],
        CementKind::TypeII
        | CementKind::TypeIV
        | CementKind::TypeV
        | CementKind::Blended
        | CementKind::SomeAsh
        | CementKind::MuchAsh
        | CementKind::ClassS => vec![Form::Ec2(Gain::CLASS_S)],
    }
}

/// The row of the rules of curing.
#[must_use]
pub const fn binder(cement: CementKind) -> Binder {
    match cement {
        CementKind::TypeI | CementKind::ClassN => Binder::TypeI,
        CementKind::TypeII => Binder::TypeII,
        CementKind::TypeIII | CementKind::ClassR => Binder::TypeIII,
        CementKind::TypeIV | CementKind::TypeV | CementKind::ClassS => Binder::TypeIVOrV,
        CementKind::Blended => Binder::Blended,
        CementKind::SomeAsh => Binder::SomeAsh,
        CementKind::MuchAsh => Binder::MuchAsh,
    }
}

/// The column of the rules of cold weather.
#[must_use]
pub const fn quickness(cement: CementKind) -> weather::Cement {
    match cement {
        CementKind::TypeIII | CementKind::ClassR => weather::Cement::Fast,
        _ => weather::Cement::Ordinary,
    }
}

/// What a cement is to a rule of pressure on forms, without a retarder. Type V stands beside ordinary cement in CIRIA Report 108 as
/// the sulfate-resisting one, and under "other types" in ACI 347R-14; how much more than 25% of ash or slag is in it nobody says, and
/// class S tells how fast it hardens and not what is ground into it: each counts as what presses longer.
#[must_use]
pub const fn chemistry(cement: CementKind, rule: Pressure) -> Chemistry {
    match (cement, rule) {
        (
            CementKind::TypeI | CementKind::TypeII | CementKind::TypeIII | CementKind::ClassN | CementKind::ClassR,
            Pressure::Aci | Pressure::Ciria,
        )
        | (CementKind::TypeV, Pressure::Ciria) => Chemistry::Ordinary,
        (CementKind::TypeV, Pressure::Aci)
        | (
            CementKind::TypeIV | CementKind::Blended | CementKind::SomeAsh | CementKind::ClassS,
            Pressure::Aci | Pressure::Ciria,
        ) => Chemistry::Blend,
        (CementKind::MuchAsh, Pressure::Aci | Pressure::Ciria) => Chemistry::RichBlend,
    }
}
