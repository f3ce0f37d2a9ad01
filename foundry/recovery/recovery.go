// Package recovery works out what each kind of scrap gives when it is melted:
// the share that becomes metal and the share that becomes dross. One melt of
// mixed scrap gives one yield and no source's own, so it reads many melts
// together, believes something beforehand about each form and coating of scrap
// (Priors), and says with every figure how far it can be trusted and why.
//
// The model is Gaussian and hierarchical. The yield of melt i is the mean of
// its sources' recoveries by the mass charged, plus scatter:
//
//	y_i = Σ_j x_ij r_j + e_i,  e_i ~ N(0, w_i² + φ² (1 + Σ_j x_ij² (s_j² − 1)))
//	r_j = m_j + c_j (μ + κ ε_j),  μ ~ N(0, s0²),  ε_j ~ N(0, 1)
//
// with w_i from the scales, φ the scatter from melt to melt, s_j how much more
// or less than that a melt of source j alone scatters, m_j and c_j from the
// prior of the source's form and coating, μ how this shop differs from the
// priors, and κ how much its sources differ from one another. For fixed κ, φ
// and s everything has a closed form (Lindley and Smith 1972, J. R. Stat. Soc.
// B 34:1); κ and φ are summed out over a grid, so that a source's figure is a
// mixture of normal curves, cut to 0 … 1. Dross is the same with its own y.
//
// Three things are learnt while fitting. How much each source scatters shows in
// the melts that it was in. A melt that does not fit what the others say of its
// charge counts for less, and is named with the reading that was likeliest
// mistyped. A source that is nothing like its form has its prior widened.
//
// Nothing is drawn at random: the same melts give the same figures. Estimates
// may be asked by many at once.
//
// It knows nothing of lines, prices lists or pages. Masses are in kilograms,
// shares are fractions of 1.
package recovery

import (
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

// Shop is what there is to learn from.
type Shop struct {
	Sources []Source
	Melts   []Melt // closed ones, in any order
}

// Source is one kind of scrap.
type Source struct {
	ID      int64
	Name    string
	Form    scrap.Form
	Coating scrap.Coating
	Metal   *Belief // what the person believes of it, instead of the form's prior
	Dross   *Belief
	Ended   bool // no longer charged: no experiment is proposed with it
}

// Melt is a closed melt as its balance shows it.
type Melt struct {
	ID        int64
	Code      string
	Started   quantity.Moment
	Charges   []Charge
	ChargedU  float64 // standard uncertainty of the whole charge, kg, without what is common to all weighings
	Steel     float64 // steel and other attachments found in it, kg
	Recovered *Amount // ingots + rejects + spills + heel out − heel in; nil when not known
	Dross     *Amount // nil when not weighed
	HeelIn    float64 // kg of liquid found at the start
	HeelFrom  int64   // the melt that left it, 0 when not known
	Spilled   bool    // metal was lost that nobody weighed
	Readings  []Reading
}

// Amount is a mass with its standard uncertainty, kg.
type Amount struct{ Kilograms, U float64 }

// Charge is what one source gave to a melt.
type Charge struct {
	Source    int64
	Kilograms float64
	AsFound   bool    // weighed with steel, plastic, oil or water on it
	Ready     float64 // share of the as-found mass left after sorting, from its deliveries; 0 when not known
	Wet       bool    // not dry when it was weighed
}

// Reading is one reading of a scale behind a melt's masses, for telling which
// of them was mistyped.
type Reading struct {
	ID        int64
	Part      Part
	Source    int64   // of a charge
	Kilograms float64 // as it was typed
}

// Part says where a reading counts.
type Part string

// Where a reading counts.
const (
	PartCharge  Part = "charge"
	PartMetal   Part = "metal"    // ingots, rejects, spills
	PartHeelIn  Part = "heel_in"  // counts against the metal
	PartHeelOut Part = "heel_out" // counts as metal
	PartDross   Part = "dross"
	PartSteel   Part = "steel"
	PartTare    Part = "tare" // a container; of a charge when Source is set, of the metal otherwise
)

// Belief is what is thought of a share before any melt: a normal curve.
type Belief struct {
	Mean float64 `json:"mean"`
	SD   float64 `json:"sd"`
}

// Bounds of what a belief can be give or take: the least that is kept, and the
// most that still says anything of a share.
const (
	Surest    = 0.001
	LeastSure = 0.5
)

// Settings are the choices a shop can make. The zero Settings are the usual ones.
type Settings struct {
	// HalfLife makes old melts count for less: a melt that much older than the
	// newest counts half. 0 lets all count alike.
	HalfLife quantity.Span
	// Trusting switches the watch for mistyped masses off.
	Trusting bool
}
