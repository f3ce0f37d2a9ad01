package wear

import (
	"fmt"

	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
)

// between shows a range with its middle first, and the unit once.
func (r Range) between(s quantity.Style, decimals int, unit string) string {
	return fmt.Sprintf("%s %s (%s to %s)", s.Number(r.Middle, decimals), unit, s.Number(r.Low, decimals), s.Number(r.High, decimals))
}

// Say words what the coil will do and what about it wants a look. The cautions
// of Cautions belong beside it.
func (b Bench) Say(s quantity.Style) []string {
	said := []string{b.sayWire(s), b.sayHot(s), b.saySurface(s)}
	for _, told := range []string{b.sayWinding(s), b.sayTooHot(s), b.sayBurden(s, "circuit", b.Circuit), b.sayBurden(s, "plug", b.Plug)} {
		if told != "" {
			said = append(said, told)
		}
	}
	return said
}

func (b Bench) sayWire(s quantity.Style) string {
	wire := fmt.Sprintf("%s m", s.Number(b.Metres.Middle, 2))
	if b.Metres.Low < b.Metres.High {
		wire = b.Metres.between(s, 2, "m")
	}
	turns := ""
	if b.Turns != nil {
		turns = fmt.Sprintf(" (%s turns)", s.Number(*b.Turns, 0))
	}
	return fmt.Sprintf("%s of %s, %s mm thick%s, has %s cold; the range is the maker's ± %s %% of the wire.",
		wire, b.Alloy, s.Number(b.Millimetres, 2), turns, b.ColdOhms.between(s, 2, "Ω"), s.Number(b.Wire.Tolerance, 1))
}

func (b Bench) sayHot(s quantity.Style) string {
	volts := s.Number(b.Volts, 0) + " V"
	if !b.CtKnown {
		return fmt.Sprintf("At %s that is %s and %s cold. How its ohms change with heat is in no table for this wire at %s: hot it gives a few per cent less with most wires.",
			volts, b.ColdAmps.between(s, 1, "A"), b.ColdWatts.between(s, 0, "W"), s.Temperature(b.Hot))
	}
	at := s.Temperature(b.Hot)
	if !b.HotSaid {
		at += " (taken, since nobody said how hot the wire gets)"
	}
	return fmt.Sprintf("At %s and %s it has %s and draws %s, which is %s; for the first minutes, cold, %s.",
		volts, at, b.HotOhms.between(s, 2, "Ω"), b.HotAmps.between(s, 1, "A"), b.HotWatts.between(s, 0, "W"), b.ColdAmps.between(s, 1, "A"))
}

func (b Bench) saySurface(s quantity.Style) string {
	text := fmt.Sprintf("Each square centimetre of wire gives off %s.", b.Surface.between(s, 1, "W"))
	usual := fmt.Sprintf("%s to %s W/cm² is usual for small coils in brick grooves that last (common practice, no source)", s.Number(CoilSurface.Low, 0), s.Number(CoilSurface.High, 0))
	if b.Surface.Middle > CoilSurface.High {
		return text + fmt.Sprintf(" That is a lot: %s. Longer and thicker wire of the same ohms carries less.", usual)
	}
	return text + " " + usual + "."
}

func (b Bench) sayWinding(s quantity.Style) string {
	var told []string
	if p := b.Pitch; p != nil && (*p < goodPitch.Low || *p > goodPitch.High) {
		told = append(told, fmt.Sprintf("The turns lie %s wire diameters apart; a maker's handbook asks for %s to %s: nearer they heat each other, wider they sag.",
			s.Number(*p, 1), s.Number(goodPitch.Low, 0), s.Number(goodPitch.High, 0)))
	}
	if w := b.Winding; w != nil && (*w < goodWinding.Low || *w > goodWinding.High) {
		told = append(told, fmt.Sprintf("The coil is %s wire diameters wide; a maker's handbook asks for %s to %s: narrower it is hard to wind, wider it loses its shape hot.",
			s.Number(*w, 1), s.Number(goodWinding.Low, 0), s.Number(goodWinding.High, 0)))
	}
	return sentences(told...)
}

func (b Bench) sayTooHot(s quantity.Style) string {
	if !b.TooHot {
		return ""
	}
	return fmt.Sprintf("%s is more than the %s that this wire bears in air. Take another wire or run it cooler.", s.Temperature(b.Hot), s.Temperature(b.Wire.MaxTemperature))
}

func (b Bench) sayBurden(s quantity.Style, what string, d *Burden) string {
	if d == nil {
		return ""
	}
	draws := fmt.Sprintf("It may draw %s, %s of what the %s is rated for (%s).", s.Current(d.Load.Amps), s.Percent(d.Load.Share, 0), what, s.Current(d.Rated))
	practice := fmt.Sprintf("A load that runs for hours is kept to %s (common practice, no source)", s.Percent(kit.ContinuousShare, 0))
	switch {
	case d.Load.Share > 1:
		return draws + " Do not run it on this " + what + "."
	case d.Load.Over():
		return fmt.Sprintf("%s %s: take longer wire, or ask a licensed electrician for a larger %s.", draws, practice, what)
	}
	return fmt.Sprintf("%s %s, and it is below that.", draws, practice)
}

// Cautions are said wherever a coil is worked out or fitted.
func Cautions() []string {
	return []string{
		"Isolate the furnace at its switch or plug, lock it or keep the plug in sight, and prove it dead before you touch a coil or a terminal: the wire is bare and live along its whole length.",
		"Earth (ground) the metal case and protect the circuit with a residual-current device (RCD, GFCI).",
		"Read the ohms cold before the first power: far fewer than worked out means turns that touch, far more a bad joint.",
		"Wire of iron, chromium and aluminium turns brittle in its first heat: shape it before, and do not move it cold after.",
		"This is arithmetic, not an inspection. Local code and a licensed electrician come first.",
	}
}
