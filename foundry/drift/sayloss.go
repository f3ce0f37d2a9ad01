package drift

import (
	"fmt"
	"math"

	"drosswise/foundry/quantity"
)

// Say words what passes through a wall and how hot its outside gets.
func (w Wall) Say(s quantity.Style) string {
	return fmt.Sprintf("Once warmed through, this wall lets about %s through, and its outside reaches about %s. Bricks differ by a fifth and more, and joints come on top. Do not try it by hand.",
		s.Power(quantity.Power(math.Round(w.Watts*float64(quantity.Watt)))), degrees(s, w.Faces[len(w.Faces)-1]))
}

// Say words what holding takes beside what the bricks explain.
func (l Loss) Say(s quantity.Style) string {
	show := func(x float64) string { return s.Number(x, 2) }
	text := fmt.Sprintf("Holding takes %s. By their thickness the bricks let %s through.",
		between(l.Measured, show, " kWh/h"), between(l.Bricks, show, " kWh/h"))
	switch l.Code {
	case More:
		return text + fmt.Sprintf(" That leaves %s for lid, ports, gaps and element ends. Time to check these, with the furnace cold and isolated at switch or plug.", between(l.Rest, show, " kWh/h"))
	case Less:
		return text + " It cannot take less than that for long: check the thickness, the kind of brick, the temperature inside and how the loss was measured."
	}
	return text + " The two agree within what is known of either."
}
