//! From repairs and method to tasks in the order of the work.
//!
//! The order is by phase, and within a phase by area, so that one crew goes from area to area while something cures. Whatever wets the
//! floor comes first: a slab that is wetted early dries off while the rest is done. Acid attacks fresh patches and sealers, which is one
//! more reason to etch before repairs (common practice, no published source).

use super::calendar::Step;
use super::materials;
use super::methods::Facts;
use super::repairs::Repairs;
use super::rules::{LAYER_WAIT, LOOKS_DRY, PATCH_WAIT, PRIMER_WAIT, SEALER_WAIT};
use super::survey::{Area, Ground, Survey};
use super::takeoff::{self, Pass};
use crate::scenario::model::{Order, SiteWork, Walk, Wash};
use crate::units::HOUR;

/// A wetting of spots that cover less than this share of an area is not a wetting of the slab: the moisture test is made elsewhere.
const MOST_OF_IT: f64 = 0.5;

/// What a task does to the slab.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effect {
    /// It wets the whole area.
    Wets,
    /// It wets spots.
    WetsSpots,
    /// It opens the face.
    Opens,
    /// It wets the whole area and opens the face.
    WetsAndOpens,
}

impl Effect {
    /// Whether the whole area gets wet.
    #[must_use]
    pub fn wets(self) -> bool {
        matches!(self, Self::Wets | Self::WetsAndOpens)
    }

    /// Whether the face is opened.
    #[must_use]
    pub fn opens(self) -> bool {
        matches!(self, Self::Opens | Self::WetsAndOpens)
    }
}

/// Whether a work leaves water behind.
#[must_use]
pub fn wet(work: SiteWork) -> bool {
    matches!(
        work,
        SiteWork::Stripping | SiteWork::Degreasing | SiteWork::PowerWashing | SiteWork::Etching
    )
}

/// Whether a work makes dust of concrete.
#[must_use]
pub fn dusty(work: SiteWork) -> bool {
    matches!(
        work,
        SiteWork::SquaringEdges
            | SiteWork::Grinding
            | SiteWork::EdgeGrinding
            | SiteWork::SpotGrinding
            | SiteWork::ShotBlasting
            | SiteWork::Scarifying
    )
}

/// One task.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// What is done.
    pub name: String,
    /// Index of its area.
    pub area: usize,
    /// The work it is.
    pub work: SiteWork,
    /// Labour \[person-seconds\].
    pub labour: f64,
    /// What it does to the slab; `None` for nothing.
    pub effect: Option<Effect>,
}

/// Tasks with their steps, one for one, and the passes of patching of each area.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tasks {
    /// Tasks.
    pub tasks: Vec<Task>,
    /// Their steps.
    pub steps: Vec<Step>,
    /// Passes of patching, by area.
    pub passes: Vec<Vec<Pass>>,
}

/// A task in the making.
struct Draft {
    phase: usize,
    area: usize,
    /// Place among the drafts of its area.
    local: usize,
    name: String,
    work: SiteWork,
    amount: f64,
    after: Vec<(usize, f64)>,
    then: f64,
    effect: Option<Effect>,
}

/// Phases of the work, in order; patching takes a span of its own.
mod phase {
    pub(super) const MASK: usize = 0;
    pub(super) const STRIP: usize = 1;
    pub(super) const DEGREASE: usize = 2;
    pub(super) const WASH: usize = 3;
    pub(super) const ETCH: usize = 4;
    pub(super) const SQUARE: usize = 5;
    /// First layer; each layer takes three phases.
    pub(super) const PATCH: usize = 10;
    pub(super) const PROFILE: usize = 1_000_000;
    pub(super) const EDGES: usize = PROFILE + 1;
    pub(super) const SPOTS: usize = PROFILE + 2;
    pub(super) const LATE_WASH: usize = PROFILE + 3;
    pub(super) const VACUUM: usize = PROFILE + 4;
    pub(super) const PRIME: usize = PROFILE + 5;
}

/// The tasks for one way of doing the work. `dry_time` is what the coating wants between wet work and itself \[s\].
#[must_use]
pub fn tasks(
    survey: &Survey,
    repairs: &[Repairs],
    method: Option<&Facts>,
    order: Order,
    walk: &Walk,
    dry_time: f64,
) -> Tasks {
    let people = f64::from(walk.crew().max(1));
    let crews = walk.crews().max(1) as usize;
    let placed = takeoff::placing(walk);
    let mut drafts: Vec<Draft> = Vec::new();
    let mut all_passes = Vec::new();
    for (index, (area, r)) in survey.areas.iter().zip(repairs).enumerate() {
        let passes = takeoff::passes(&r.patches, placed);
        let mut chain = Chain {
            area: index,
            drafts: Vec::new(),
            last: Vec::new(),
        };
        match area.ground {
            Ground::Concrete => concrete(&mut chain, area, r, &passes, method, order, walk),
            Ground::Wood { .. } => wood(&mut chain, area, r, &passes),
            Ground::Metal => metal(&mut chain, area, r, &passes),
        }
        all_passes.push(passes);
        drafts.extend(chain.drafts);
    }
    // Stable: within a phase the areas keep their order, within an area the drafts keep theirs.
    drafts.sort_by_key(|draft| draft.phase);
    let mut place: Vec<Vec<usize>> = vec![Vec::new(); survey.areas.len()];
    for draft in &drafts {
        if let Some(of_area) = place.get_mut(draft.area)
            && of_area.len() <= draft.local
        {
            of_area.resize(draft.local + 1, usize::MAX);
        }
    }
    for (global, draft) in drafts.iter().enumerate() {
        place[draft.area][draft.local] = global;
    }
    let mut out = Tasks {
        passes: all_passes,
        ..Tasks::default()
    };
    for draft in drafts {
        let hours = draft.amount / materials::rate(draft.work, walk).max(1e-12);
        let labour = hours * HOUR + materials::SETTING_UP * people;
        out.steps.push(Step {
            work: labour / people,
            // A batch that is mixed is placed, and acid does not stay overnight.
            whole: matches!(draft.work, SiteWork::Patching | SiteWork::Etching),
            crew: draft.area % crews,
            after: draft
                .after
                .iter()
                .map(|(local, wait)| (place[draft.area][*local], *wait))
                .collect(),
            then: if wet(draft.work) {
                draft.then.max(dry_time)
            } else {
                draft.then
            },
            finished: None,
        });
        out.tasks.push(Task {
            name: draft.name,
            area: draft.area,
            work: draft.work,
            labour,
            effect: draft.effect,
        });
    }
    out
}

/// The drafts of one area. Each follows what was last done there, unless it says otherwise.
struct Chain {
    area: usize,
    drafts: Vec<Draft>,
    /// What the next draft must wait for.
    last: Vec<(usize, f64)>,
}

impl Chain {
    fn add(
        &mut self,
        phase: usize,
        name: impl Into<String>,
        work: SiteWork,
        amount: f64,
        after: Vec<(usize, f64)>,
        effect: Option<Effect>,
    ) -> usize {
        let local = self.drafts.len();
        self.drafts.push(Draft {
            phase,
            area: self.area,
            local,
            name: name.into(),
            work,
            amount,
            after,
            then: 0.0,
            effect,
        });
        local
    }

    /// Adds a draft that follows the last, if there is anything to do; `wait` holds behind it. Wet work need not wait until the face is
    /// dry.
    fn next(
        &mut self,
        phase: usize,
        name: impl Into<String>,
        work: SiteWork,
        amount: f64,
        wait: f64,
        effect: Option<Effect>,
    ) {
        if amount > 0.0 {
            let mut after = self.last.clone();
            for (before, wait) in &mut after {
                if wet(work) && self.drafts.get(*before).is_some_and(|d| wet(d.work)) {
                    *wait = 0.0;
                }
            }
            let local = self.add(phase, name, work, amount, after, effect);
            self.last = vec![(local, wait)];
        }
    }

    /// Patches by layers, cracks and joints in the waits between them.
    fn repairs(&mut self, r: &Repairs, passes: &[Pass]) {
        self.next(
            phase::SQUARE,
            "Square the edges of patches",
            SiteWork::SquaringEdges,
            r.patch_size(),
            0.0,
            None,
        );
        let before = self.last.clone();
        let mut ends: Vec<(usize, f64)> = Vec::new();
        let mut layer: Option<usize> = None;
        for (index, pass) in passes.iter().enumerate() {
            let after = match layer {
                Some(below) => vec![(below, LAYER_WAIT)],
                None => before.clone(),
            };
            let name = format!("Patch, layer {} of {}", pass.layer, passes.len());
            let phase = phase::PATCH + 3 * index;
            layer = Some(self.add(phase, name, SiteWork::Patching, pass.volume, after, None));
        }
        ends.extend(layer.map(|last| (last, PATCH_WAIT)));
        for (offset, name, work, amount) in [
            (1, "Fill cracks", SiteWork::CrackFilling, r.crack_length),
            (2, "Seal joints", SiteWork::JointSealing, r.joint_length),
        ] {
            if amount > 0.0 {
                let local = self.add(
                    phase::PATCH + offset,
                    name,
                    work,
                    amount,
                    before.clone(),
                    None,
                );
                ends.push((local, SEALER_WAIT));
            }
        }
        if !ends.is_empty() {
            self.last = ends;
        }
    }

    /// What is last done holds the coating by the waits behind it.
    fn close(&mut self) {
        for (local, wait) in &self.last {
            if let Some(draft) = self.drafts.get_mut(*local) {
                draft.then = draft.then.max(*wait);
            }
        }
    }
}

/// Spots or the whole, by their share of the area.
fn wetted(spots: f64, area: &Area) -> Effect {
    if spots > MOST_OF_IT * area.size {
        Effect::Wets
    } else {
        Effect::WetsSpots
    }
}

fn concrete(
    chain: &mut Chain,
    area: &Area,
    r: &Repairs,
    passes: &[Pass],
    method: Option<&Facts>,
    order: Order,
    walk: &Walk,
) {
    chain.next(
        phase::MASK,
        "Mask walls and goods",
        SiteWork::Masking,
        area.perimeter,
        0.0,
        None,
    );
    chain.next(
        phase::STRIP,
        "Strip the old layer and rinse",
        SiteWork::Stripping,
        r.strip,
        LOOKS_DRY,
        Some(wetted(r.strip, area)),
    );
    chain.next(
        phase::DEGREASE,
        "Degrease stains and rinse",
        SiteWork::Degreasing,
        r.degrease,
        LOOKS_DRY,
        Some(wetted(r.degrease, area)),
    );
    let washed = walk.wash == Some(Wash::PowerWash);
    let wash = |chain: &mut Chain, phase: usize| {
        if washed {
            chain.next(
                phase,
                "Power wash",
                SiteWork::PowerWashing,
                area.size,
                LOOKS_DRY,
                Some(Effect::Wets),
            );
        }
    };
    if order == Order::WashFirst {
        wash(chain, phase::WASH);
    }
    let (etch, machine) = match method {
        Some(facts) if facts.wets => (Some(facts), None),
        other => (None, other),
    };
    if let Some(facts) = etch {
        chain.next(
            phase::ETCH,
            facts.task,
            facts.work,
            area.size,
            LOOKS_DRY,
            Some(Effect::WetsAndOpens),
        );
    }
    chain.repairs(r, passes);
    if let Some(facts) = machine {
        chain.next(
            phase::PROFILE,
            facts.task,
            facts.work,
            area.size,
            0.0,
            Some(Effect::Opens),
        );
        if facts.leaves_edges {
            chain.next(
                phase::EDGES,
                "Grind edges by hand",
                SiteWork::EdgeGrinding,
                area.perimeter,
                0.0,
                None,
            );
        }
    }
    chain.next(
        phase::SPOTS,
        "Grind high spots and repairs flush",
        SiteWork::SpotGrinding,
        takeoff::ground_by_hand(r, machine),
        0.0,
        None,
    );
    if order == Order::WashLast {
        wash(chain, phase::LATE_WASH);
    }
    chain.next(
        phase::VACUUM,
        "Vacuum and wipe test",
        SiteWork::Vacuuming,
        area.size,
        0.0,
        None,
    );
    chain.close();
}

fn wood(chain: &mut Chain, area: &Area, r: &Repairs, passes: &[Pass]) {
    chain.next(
        phase::MASK,
        "Mask walls and goods",
        SiteWork::Masking,
        area.perimeter,
        0.0,
        None,
    );
    chain.next(
        phase::STRIP,
        "Strip wax and varnish",
        SiteWork::Stripping,
        r.strip,
        LOOKS_DRY,
        None,
    );
    chain.next(
        phase::DEGREASE,
        "Clean stains",
        SiteWork::Degreasing,
        r.degrease,
        LOOKS_DRY,
        None,
    );
    chain.repairs(r, passes);
    chain.next(
        phase::PROFILE,
        "Sand",
        SiteWork::Sanding,
        area.size,
        0.0,
        None,
    );
    chain.next(
        phase::VACUUM,
        "Vacuum and wipe test",
        SiteWork::Vacuuming,
        area.size,
        0.0,
        None,
    );
    chain.close();
}

fn metal(chain: &mut Chain, area: &Area, r: &Repairs, passes: &[Pass]) {
    chain.next(
        phase::MASK,
        "Mask walls and goods",
        SiteWork::Masking,
        area.perimeter,
        0.0,
        None,
    );
    chain.next(
        phase::STRIP,
        "Strip the old layer",
        SiteWork::Stripping,
        r.strip,
        0.0,
        None,
    );
    chain.next(
        phase::DEGREASE,
        "Degrease",
        SiteWork::Degreasing,
        area.size,
        0.0,
        None,
    );
    chain.repairs(r, passes);
    chain.next(
        phase::PROFILE,
        "Brush to sound metal",
        SiteWork::Brushing,
        area.size,
        0.0,
        None,
    );
    chain.next(
        phase::VACUUM,
        "Vacuum and wipe test",
        SiteWork::Vacuuming,
        area.size,
        0.0,
        None,
    );
    chain.next(
        phase::PRIME,
        "Prime",
        SiteWork::Priming,
        area.size,
        PRIMER_WAIT,
        None,
    );
    chain.close();
}
