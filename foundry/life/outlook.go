package life

import "math"

// Outlook is what a piece may still do, given what it has done.
type Outlook struct {
	Unit      Unit  `json:"unit"`
	WornOut   int   `json:"worn_out"` // how many pieces it rests on
	InService int   `json:"in_service"`
	Basis     Basis `json:"basis"`

	Age float64 `json:"age"`
	// Left is what it may still do; nil when the life's Basis is Nothing.
	Left *Range `json:"left"`
	// Open reports that the far end of Left lies so far beyond what any piece
	// has done that it means little.
	Open bool    `json:"open"`
	Next float64 `json:"next"` // such as the next 10 heats
	// Chance is the chance, 0 … 1, that it does Next more. What is not known of
	// the life is in it already, so that it has no range of its own. nil with
	// Left.
	Chance *float64 `json:"chance"`
	// Check reports that it is time to check the piece: Chance is below
	// CheckBelow. False does not say that the piece is sound.
	Check bool `json:"check"`
}

// CheckBelow is the chance of doing what comes next below which it is time to
// check a piece: more than one in five would not do it. Judgement.
const CheckBelow = 0.8

// farBeyond is how many times the longest age on record, or life expected, a
// piece may reach before its range is called open. Judgement.
const farBeyond = 5

// Outlook says what a piece of that age may still do, and how likely it does
// next more. The piece's own age should have been among those that Learn was
// given: that it lasted so long says something of the others too. The error is
// a *Refusal.
func (l *Life) Outlook(age, next float64) (Outlook, error) {
	switch {
	case !isAge(age):
		return Outlook{}, &Refusal{Code: BadAge, Value: age}
	case !isAge(next):
		return Outlook{}, &Refusal{Code: BadNext, Value: next}
	}
	o := Outlook{Unit: l.Unit, WornOut: l.WornOut, InService: l.InService, Basis: l.Basis, Age: age, Next: next}
	if l.post == nil {
		return o, nil
	}
	left, chance := l.post.remaining(age), l.post.chance(age, next)
	o.Left, o.Chance = &left, &chance
	o.Open = age+left.High > farBeyond*max(l.longest, age)
	o.Check = chance < CheckBelow
	return o, nil
}

// remaining is the range of what a piece of that age still does.
func (p *posterior) remaining(age float64) Range {
	at := p.conditional(age)
	r := Range{Low: at.quantile(0.05), Middle: at.quantile(0.5), High: at.quantile(0.95)}
	// The roots are found to 14 digits, which may turn two round.
	r.Middle = max(r.Middle, r.Low)
	r.High = max(r.High, r.Middle)
	return r
}

// chance is the chance that a piece of that age does next more.
func (p *posterior) chance(age, next float64) float64 {
	if next == 0 {
		return 1
	}
	return p.conditional(age).left(math.Log(next) - p.unit)
}

// conditional is the posterior seen by a piece that has reached an age.
type conditional struct {
	*posterior
	log float64 // of the age, −∞ for a new piece, in the sample's unit
}

func (p *posterior) conditional(age float64) conditional {
	return conditional{p, math.Log(age) - p.unit}
}

// left is the chance to do m more given the age a, with the log of m:
// E exp((a/η)^b − ((a+m)/η)^b) over the posterior. Between 0 and 1.
func (c conditional) left(logMore float64) float64 {
	sum := 0.0
	for _, k := range c.columns {
		// ln((a+m)^b − a^b), which stays good when m is small beside a.
		power := k.shape * logMore
		if !math.IsInf(c.log, -1) {
			power = k.shape*c.log + logExpm1(k.shape*math.Log1p(math.Exp(logMore-c.log)))
		}
		for _, s := range k.scales {
			sum += s.weight * math.Exp(-math.Exp(power-k.shape*s.log))
		}
	}
	return min(sum, 1)
}

// logExpm1 is ln(e^x − 1) for x ≥ 0.
func logExpm1(x float64) float64 {
	if x > 40 {
		return x // e^−x is below a float's last digit
	}
	return math.Log(math.Expm1(x))
}

// farthest is the log, up and down from the sample's unit, that is looked for.
const farthest = 512

// quantile is what a share p of pieces do not do any more.
func (c conditional) quantile(p float64) float64 {
	f := func(logMore float64) float64 { return 1 - p - c.left(logMore) }
	low, high := -1.0, 1.0
	for f(low) > 0 {
		if low *= 2; low < -farthest {
			return math.Exp(c.unit - farthest)
		}
	}
	for f(high) < 0 {
		if high *= 2; high > farthest {
			return math.Exp(c.unit + farthest)
		}
	}
	return math.Exp(c.unit + root(f, low, high))
}

// shapes is the range of the shape, read off the middles between columns.
func (p *posterior) shapes() Range {
	at := func(share float64) float64 {
		sum := 0.0
		for i, c := range p.columns {
			if sum+c.weight >= share || i == len(p.columns)-1 {
				step := p.columns[1].log - p.columns[0].log
				return math.Exp(c.log + step*(min((share-sum)/c.weight, 1)-0.5))
			}
			sum += c.weight
		}
		return shapeMiddle
	}
	return Range{at(0.05), at(0.5), at(0.95)}
}
