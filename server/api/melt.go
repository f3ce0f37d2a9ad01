package api

import (
	"time"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/sheet"
)

// Heading says which melt it is and what it is melted in.
type Heading struct {
	Code  string    `json:"code" doc:"Stamped on the metal, such as A26-041."`
	State State     `json:"state"`
	By    int64     `json:"by" doc:"Number of the person."`
	Noted time.Time `json:"noted" doc:"When the shop got it."`
	Begun
}

// Begun is what a melt begins with.
type Begun struct {
	At       *time.Time `json:"at,omitempty" form:"at" doc:"When it began; now when it is left out."`
	Furnace  int64      `json:"furnace" form:"furnace" doc:"Number of the furnace."`
	Crucible *int64     `json:"crucible,omitempty" form:"crucible"`
	Element  *int64     `json:"element,omitempty" form:"element"`
	Probe    *int64     `json:"probe,omitempty" form:"probe" doc:"Number of the thermocouple."`
	Warm     string     `json:"warm,omitempty" form:"warm" enum:"warm" doc:"warm: the furnace is still hot from the melt before."`
	Target   Target     `json:"target,omitempty" form:"target"`
	Ambient  *float64   `json:"ambient_c,omitempty" form:"ambient" unit:" °C" doc:"Temperature of the shed, °C."`
}

// NewMelt is a melt as a program starts it.
type NewMelt struct {
	Begun
	Why string `json:"why_cracked,omitempty" form:"why_cracked" maxLength:"1000" doc:"Why it is melted on a crucible of which a crack is written down. It is refused without."`
}

// HeadingOf tells a heading.
func HeadingOf(h melt.Heading, state melt.State) Heading {
	told := Heading{
		Code: string(h.Code), State: State(state), By: h.By, Noted: moment(h.Noted),
		Begun: Begun{
			At: new(moment(h.At)), Furnace: h.Furnace, Crucible: number(h.Crucible), Element: number(h.Element), Probe: number(h.Probe),
			Target: Target(h.Target), Ambient: maybe(h.Ambient, quantity.Temperature.Celsius),
		},
	}
	if h.Warm {
		told.Warm = "warm"
	}
	return told
}

// Melt is a melt whole: its heading, its lines in the order they happened, and
// the figures that they make.
type Melt struct {
	Heading
	Version string      `json:"version" doc:"Changes with every line, photo and strike, and while readings come about every 10 seconds."`
	Lines   []Line      `json:"lines" nullable:"false"`
	Sheet   sheet.Sheet `json:"sheet" doc:"Masses in kg, energies in kWh, ratios as fractions of 1, times in hours, costs in units of the currency. x is the figure, u its standard uncertainty; lacks says what is missing for it."`
	Flags   []string    `json:"flags" nullable:"false" doc:"What does not fit and wants a look, in words."`
}

// Melted is a melt as lists show it.
type Melted struct {
	Code      string    `json:"code"`
	State     State     `json:"state"`
	At        time.Time `json:"at" doc:"When it began."`
	Furnace   int64     `json:"furnace"`
	Crucible  int64     `json:"crucible,omitempty"`
	Element   int64     `json:"element,omitempty"`
	Charged   float64   `json:"charged_kg"`
	Recovered *float64  `json:"recovered_kg" doc:"null while it is not known."`
	Yield     *float64  `json:"yield" doc:"Metal out over metal in, as a fraction."`
	YieldU    *float64  `json:"yield_u" doc:"Its standard uncertainty."`
	Energy    *float64  `json:"energy_kwh"`
	Sources   []int64   `json:"sources" nullable:"false" doc:"Numbers of the scrap in it, most charged first."`
}

// Melts is a part of the list of melts, the newest first.
type Melts struct {
	Melts []Melted `json:"melts" nullable:"false"`
	Older string   `json:"before,omitempty" doc:"Ask again with this for the next part; absent at the end."`
}
