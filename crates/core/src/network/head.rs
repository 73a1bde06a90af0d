//! A head with its class's values put in where the plan is silent.

use crate::id::{HeadId, OutletId};
use crate::library::{HeadClass, HeadFamily, Outlet, Region, library};
use crate::network::{Known, Origin, Place};
use crate::physics::filament::filament_amps;
use crate::physics::inrush::{Inrush, filament_weight, pulse_weight};
use crate::plan::{EarthClass, Head, LeakFrom, Load, Spectrum};
use crate::unit::{Amps, KiloVoltAmps, Leakage, Metres, Minutes, Volts, Watts};

/// Volts up to which the trade sells the smaller of a class's two sizes.
const LOW_VOLTS: Volts = Volts(127.0);

/// A head, resolved.
#[derive(Clone, Debug, PartialEq)]
pub struct HeadNode {
    /// Its id.
    pub id: HeadId,
    /// Its class, where the plan names one that is built in.
    pub class: Option<&'static HeadClass>,
    /// What makes its light; `None` for a head without a class.
    pub family: Option<HeadFamily>,
    /// Watts at the plug, on full and on low volts.
    pub watts: Option<Known<Watts>>,
    watts_low_volts: Option<Watts>,
    /// Whole power factor.
    pub power_factor: Known<f64>,
    /// Whether its current leads the voltage.
    pub leading: bool,
    /// Running amps where they were measured.
    pub measured_amps: Option<Amps>,
    /// Volts that it is built for, where the plan says.
    pub volts: Option<Volts>,
    /// How its amps move with the volts.
    pub load: Load,
    /// Standing leakage while lit.
    pub leak: Known<Leakage>,
    /// Leakage while plugged in but dark.
    pub idle: Known<Leakage>,
    /// Extra leakage while it strikes.
    pub strike: Known<Leakage>,
    start: Start,
    /// How long it runs up, where known.
    pub start_minutes: Option<Known<Minutes>>,
    /// Its inrush, where known.
    pub inrush: Option<HeadInrush>,
    /// Minutes that it stays dark when it loses power hot.
    pub restrike: Known<Minutes>,
    /// Harmonics of its current.
    pub spectrum: Spectrum,
    /// Its plug's id.
    pub plug_id: OutletId,
    /// Its plug.
    pub plug: Known<Option<&'static Outlet>>,
    /// Fuse in its plug.
    pub fuse: Option<Known<Amps>>,
    /// Protection class against shock.
    pub earth_class: Known<EarthClass>,
    /// Where it stands.
    pub place: Place,
    /// Its own mains tail.
    pub tail: Metres,
    /// 1 to 9: what to keep if not everything fits.
    pub importance: u32,
}

/// How its start current is known.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Start {
    Amps(Amps),
    TimesRunning(f64),
}

/// What is known of a head's inrush.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeadInrush {
    peak: InrushPeak,
    /// How long it lasts, milliseconds: a capacitor's pulse, or a filament until it is under five times
    /// its running amps.
    pub milliseconds: Known<f64>,
    /// Where its peak comes from.
    pub origin: Origin,
    /// Lasting amps for each peak amp.
    weight: f64,
}

/// How its height is known.
#[derive(Clone, Copy, Debug, PartialEq)]
enum InrushPeak {
    Amps(Amps),
    TimesRunningPeak(f64),
}

/// The line conductors that a head hangs between, and their volts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Terminals {
    /// Line to neutral for one line, else line to line.
    pub volts: Volts,
    /// 1, 2 or 3.
    pub lines: u8,
}

impl Terminals {
    /// How many times volts and a line's amps make the power: once on one line or between two, √3 times
    /// on three.
    #[must_use]
    pub fn span(self) -> f64 {
        if self.lines == 3 { 3.0_f64.sqrt() } else { 1.0 }
    }

    /// How many conductors of a lead a load's amps run through: there and back on one line or between two,
    /// one on three that balance.
    #[must_use]
    pub fn ways(self) -> f64 {
        if self.lines == 3 { 1.0 } else { 2.0 }
    }

    /// Apparent power of a load of `amps` a line.
    #[must_use]
    pub fn apparent_power(self, amps: Amps) -> KiloVoltAmps {
        KiloVoltAmps(self.volts.0 * self.span() * amps.0 / 1000.0)
    }

    /// Real power of a load of `amps` a line and this whole power factor.
    #[must_use]
    pub fn power(self, amps: Amps, power_factor: f64) -> Watts {
        Watts(self.volts.0 * self.span() * amps.0 * power_factor)
    }
}

impl HeadNode {
    pub(crate) fn new(id: &HeadId, head: &Head, region: &Region, place: Place) -> Self {
        let library = library();
        let class = head.class.as_ref().and_then(|id| library.heads.get(id.as_str()));
        let of_class = |pick: fn(&HeadClass) -> Leakage| match class {
            Some(class) => (Origin::Class, pick(class)),
            None => (Origin::Default, Leakage::ZERO),
        };
        let leakage = |plan: Option<Leakage>, pick: fn(&HeadClass) -> Leakage| {
            let (origin, otherwise) = of_class(pick);
            let known = Known::or(plan, origin, otherwise);
            let measured = plan.is_some() && head.leak_from == Some(LeakFrom::Measured);
            if measured { Known { origin: Origin::Measured, ..known } } else { known }
        };
        let class_or = |default: f64, pick: fn(&HeadClass) -> f64| match class {
            Some(class) => (Origin::Class, pick(class)),
            None => (Origin::Default, default),
        };
        let (pf_origin, pf) = class_or(1.0, |class| class.power_factor);
        let (restrike_origin, restrike) = class_or(0.0, |class| class.restrike_min.0);
        let watts = head
            .watts
            .map(|value| Known { value, origin: Origin::Plan })
            .or_else(|| class.map(|class| Known { value: class.watts, origin: Origin::Class }));
        let plug_id = head.plug.clone().unwrap_or_else(|| region.outlet.clone());
        let plug = library.outlets.get(plug_id.as_str());
        let plug_origin = if head.plug.is_some() { Origin::Plan } else { Origin::Region };
        Self {
            id: id.clone(),
            class,
            family: class.map(|class| class.family),
            watts,
            watts_low_volts: class.and_then(|class| class.watts_low_volts).filter(|_| head.watts.is_none()),
            power_factor: Known::or(head.power_factor, pf_origin, pf),
            leading: head.leading,
            measured_amps: head.amps,
            volts: head.volts,
            load: head.load.or_else(|| class.map(|class| class.load)).unwrap_or_default(),
            leak: leakage(head.leak, |class| Leakage::point(class.leak_ma)),
            idle: leakage(head.idle, |class| Leakage::point(class.idle_ma)),
            strike: leakage(head.strike, |class| Leakage::point(class.strike_ma)),
            start: match (head.start, class) {
                (Some(amps), _) => Start::Amps(amps),
                (None, Some(class)) => Start::TimesRunning(class.start_factor),
                (None, None) => Start::TimesRunning(1.0),
            },
            start_minutes: start_minutes(head, class),
            inrush: inrush(head, class),
            restrike: Known::or(head.restrike, restrike_origin, Minutes(restrike)),
            spectrum: spectrum(head, class),
            plug_id,
            plug: Known { value: plug, origin: plug_origin },
            fuse: fuse(head.fuse, plug),
            earth_class: Known::or(
                head.earth_class,
                if class.is_some() { Origin::Class } else { Origin::Default },
                class.map_or(EarthClass::I, |class| class.earth_class),
            ),
            place,
            tail: head.tail.unwrap_or(Metres::ZERO),
            importance: head.importance.unwrap_or(5),
        }
    }

    /// Watts at the plug on these volts, where they are known.
    #[must_use]
    pub fn watts_at(&self, volts: Volts) -> Option<Watts> {
        let watts = self.watts?.value;
        match self.watts_low_volts {
            Some(small) if volts.0 <= LOW_VOLTS.0 => Some(small),
            _ => Some(watts),
        }
    }

    /// Running amps in each of its lines: measured, else *P/(V·λ)*; *V* is line to neutral for one
    /// line, line to line for two, and √3 times line to line counts for three.
    #[must_use]
    pub fn running_amps(&self, terminals: Terminals) -> Amps {
        if let Some(amps) = self.measured_amps {
            return amps;
        }
        let Some(watts) = self.watts_at(terminals.volts) else {
            return Amps::ZERO;
        };
        let rated = self.volts.unwrap_or(terminals.volts);
        let at_rated = Amps(watts.0 / (rated.0 * terminals.span() * self.power_factor.value));
        let ratio = terminals.volts / rated;
        match self.load {
            Load::Steady => at_rated / ratio,
            Load::Filament => at_rated * filament_amps(terminals.volts, rated),
            Load::Resistive => at_rated * ratio,
        }
    }

    /// Amps in all while it runs up, never less than the running ones.
    #[must_use]
    pub fn start_amps(&self, running: Amps) -> Amps {
        match self.start {
            Start::Amps(amps) => amps.max(running),
            Start::TimesRunning(factor) => running * factor.max(1.0),
        }
    }

    /// Its inrush where it runs at these amps; `None` where nobody knows.
    #[must_use]
    pub fn inrush_at(&self, running: Amps) -> Option<Inrush> {
        let inrush = self.inrush?;
        let peak = match inrush.peak {
            InrushPeak::Amps(amps) => amps,
            InrushPeak::TimesRunningPeak(factor) => running * (factor * std::f64::consts::SQRT_2),
        };
        Some(Inrush::of(peak, inrush.weight))
    }

    /// Where its running amps come from.
    #[must_use]
    pub fn amps_origin(&self) -> Origin {
        match (self.measured_amps, self.watts) {
            (Some(_), _) => Origin::Measured,
            (None, Some(watts)) => watts.origin.max(self.power_factor.origin),
            (None, None) => Origin::Default,
        }
    }
}

/// An inrush that nobody timed counts whole.
const UNTIMED_INRUSH_MS: f64 = 10.0;

fn inrush(head: &Head, class: Option<&HeadClass>) -> Option<HeadInrush> {
    let of_class = || {
        let class = class?;
        let amps = class.inrush_a.map(InrushPeak::Amps);
        amps.or_else(|| class.inrush_factor.map(InrushPeak::TimesRunningPeak))
    };
    let (peak, origin) = match head.inrush {
        Some(amps) => (InrushPeak::Amps(amps), Origin::Plan),
        None => (of_class()?, Origin::Class),
    };
    let milliseconds = match (head.inrush_ms, class.and_then(|class| class.inrush_ms)) {
        (Some(value), _) => Known { value, origin: Origin::Plan },
        (None, Some(value)) => Known { value, origin: Origin::Class },
        (None, None) => Known { value: UNTIMED_INRUSH_MS, origin: Origin::Default },
    };
    let load = head.load.or_else(|| class.map(|class| class.load)).unwrap_or_default();
    let weight = match load {
        Load::Filament => filament_weight(milliseconds.value),
        Load::Steady | Load::Resistive => pulse_weight(milliseconds.value),
    };
    Some(HeadInrush { peak, milliseconds, origin, weight })
}

fn start_minutes(head: &Head, class: Option<&HeadClass>) -> Option<Known<Minutes>> {
    head.start_minutes
        .map(|value| Known { value, origin: Origin::Plan })
        .or_else(|| class?.start_min.map(|value| Known { value, origin: Origin::Class }))
}

fn spectrum(head: &Head, class: Option<&HeadClass>) -> Spectrum {
    head.spectrum.clone().or_else(|| class.map(|class| class.spectrum.clone())).unwrap_or(Spectrum::Linear)
}

/// The fuse in a plug: the one given, else the one that such plugs come with.
pub(crate) fn fuse(given: Option<Amps>, plug: Option<&Outlet>) -> Option<Known<Amps>> {
    given
        .map(|value| Known { value, origin: Origin::Plan })
        .or_else(|| plug?.plug_fuse_a.map(|value| Known { value, origin: Origin::Region }))
}
