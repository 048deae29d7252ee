//! A change in one sentence.

use super::change::{Basis, Change, Outcome};
use crate::cue::{Say, name_of, number, unit_of};

impl Change {
    /// What happened, with the numbers.
    pub fn sentence(&self) -> String {
        if self.view_changed {
            return Say::ChangeView.with(&[("name", &name_of(self.channel))]);
        }
        let say = match self.outcome {
            Outcome::Better => Say::ChangeBetter,
            Outcome::Worse => Say::ChangeWorse,
            Outcome::NoRealChange => Say::ChangeNone,
        };
        let unit = unit_of(self.channel.check());
        let size = |v: f64| format!("{}{unit}", number(v.abs()));
        say.with(&[
            ("name", &name_of(self.channel)),
            ("difference", &size(self.difference)),
            ("mdc", &size(self.mdc95)),
        ])
    }

    /// What the judgement rests on, and what makes it weaker.
    pub fn basis_sentence(&self) -> String {
        let basis = match self.basis {
            Basis::OwnDays => Say::BasisOwn,
            Basis::PublishedDays => Say::BasisPublished,
            Basis::AssumedDays => Say::BasisAssumed,
        };
        let mut text = basis.plain();
        for (so, say) in [
            (self.view_changed, Say::BasisView),
            (self.lines_changed, Say::BasisLines),
            (self.undated, Say::BasisUndated),
        ] {
            if so {
                text.push(' ');
                text.push_str(say.english());
            }
        }
        text
    }
}

#[cfg(feature = "serde")]
impl serde::Serialize for Change {
    /// `{ check, side, outcome, earlier, later, difference, mdc95, basis, view_changed,
    /// lines_changed, undated, sentence, basis_sentence }`
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        use serde::ser::SerializeStruct;
        let mut out = serializer.serialize_struct("Change", 13)?;
        let side = self.channel.side().map(|s| match s {
            crate::keypoints::Side::Left => "left",
            crate::keypoints::Side::Right => "right",
        });
        out.serialize_field("check", self.channel.check().name())?;
        out.serialize_field("side", &side)?;
        out.serialize_field("outcome", &self.outcome)?;
        out.serialize_field("earlier", &self.earlier)?;
        out.serialize_field("later", &self.later)?;
        out.serialize_field("difference", &self.difference)?;
        out.serialize_field("mdc95", &self.mdc95)?;
        out.serialize_field("basis", &self.basis)?;
        out.serialize_field("view_changed", &self.view_changed)?;
        out.serialize_field("lines_changed", &self.lines_changed)?;
        out.serialize_field("undated", &self.undated)?;
        out.serialize_field("sentence", &self.sentence())?;
        out.serialize_field("basis_sentence", &self.basis_sentence())?;
        out.end()
    }
}
