package drift

import (
	"fmt"

	"drosswise/foundry/gum"
)

// Freezing is a metal whose temperature stands still while it freezes.
type Freezing struct {
	Metal   string  `json:"metal"`
	Celsius float64 `json:"celsius"` // of the pure metal
	// Cryoscopic is the first cryoscopic constant in 1/K: a share x of foreign
	// atoms lowers the point by up to x/Cryoscopic.
	Cryoscopic float64 `json:"cryoscopic"`
}

// Freezings are the points of the International Temperature Scale of 1990
// (Preston-Thomas 1990, Metrologia 27:3) within reach of a melting furnace, with
// the cryoscopic constants of its supplementary information (from memory; they
// agree with L/RT² of the heats of fusion).
var Freezings = []Freezing{
	{"tin", 231.928, 0.00329},
	{"zinc", 419.527, 0.00185},
	{"aluminium", 660.323, 0.00149},
}

// point is where metal of a purity freezes: anywhere between the pure metal's
// point and the lowest that its foreign atoms allow (Raoult and van 't Hoff),
// with nothing said of where. ok is false for a purity that is not above 0.99:
// such metal freezes over a range, and scrap has no freezing point at all.
func (f Freezing) point(purity float64) (at gum.Value, ok bool) {
	if !(purity > 0.99 && purity <= 1) || !(f.Cryoscopic > 0) {
		return gum.Value{}, false
	}
	lowered := (1 - purity) / f.Cryoscopic
	return gum.Measured(fmt.Sprintf("%s of %g", f.Metal, purity), f.Celsius-lowered/2, gum.Limits(lowered/2)), true
}
