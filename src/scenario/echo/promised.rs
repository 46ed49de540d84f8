//! The echo of what the schedule assumed.

use super::Echo;
use crate::scenario::model::Scenario;

impl Echo {
    /// Only what is given: the rest was assumed as it is.
    pub(super) fn promised(&mut self, scenario: &Scenario) {
        let Some(p) = &scenario.promised else { return };
        self.say("promised", p.name.as_deref().unwrap_or("as promised"), None);
        if let Some(thickness) = p.thickness {
            self.both("promised: thickness", both!(thickness), None);
        }
        if let Some(ratio) = p.water_cement_ratio {
            self.say("promised: water-cement ratio", &ratio.to_string(), None);
        }
        if let Some(underside) = &p.underside {
            self.say("promised: underside", underside.word(), None);
        }
        if let Some(finish) = p.finish {
            self.say("promised: finish", finish.word(), None);
        }
        for (label, date) in [
            ("promised: closed in", p.closed_in),
            ("promised: drying starts", p.drying_starts),
        ] {
            if let Some(date) = date {
                self.say(label, &date.to_string(), None);
            }
        }
        if let Some(temperature) = p.room_temperature {
            self.both("promised: room no colder than", both!(temperature), None);
        }
        if let Some(humidity) = p.room_relative_humidity {
            self.both("promised: room no damper than", both!(humidity), None);
        }
        if let Some(setup) = &p.setup {
            self.say("promised: setup", setup, None);
        }
    }
}
