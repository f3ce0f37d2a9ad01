package life

import (
	"fmt"
	"math"

	"drosswise/foundry/quantity"
)

// Say words how long a new piece lasts, and what that rests on.
func (l *Life) Say(s quantity.Style, k Kind) string {
	if l.New == nil {
		return l.sayBound(s, k)
	}
	text := fmt.Sprintf("A new %s may do %s, %s", k.One, l.Unit.about(s, l.New.Middle), l.Unit.between(s, *l.New))
	from := counted(l.WornOut, l.InService)
	switch l.Basis {
	case Believed:
		text = fmt.Sprintf("%s, which rests on the %s that you expect of one, with %s", text, l.Unit.done(s, l.Expected), from)
		if l.Bound != nil {
			text += fmt.Sprintf("; from what they did alone, half of such %s do %s", k.Many, l.Unit.atLeast(s, *l.Bound))
		}
		return text + "."
	case Assumed:
		return fmt.Sprintf("%s, which rests mainly on how such things usually wear, with %s.", text, from)
	case Learned:
		return fmt.Sprintf("%s, going by your own %s, %s, with some help from how such things usually wear.", text, k.Many, from)
	}
	return fmt.Sprintf("%s, going by your own %s, %s.", text, k.Many, from)
}

func (l *Life) sayBound(s quantity.Style, k Kind) string {
	if l.Bound == nil {
		return fmt.Sprintf("No %s has done anything yet, so how long one lasts cannot be said: type how long you expect.", k.One)
	}
	return fmt.Sprintf("No %s has worn out yet, with %s in service, so there is only a lower bound: half of such %s do %s.",
		k.One, some(l.InService), k.Many, l.Unit.atLeast(s, *l.Bound))
}

// Say words the curve's median; unit is that of the ages.
func (c KaplanMeier) Say(s quantity.Style, unit Unit, k Kind) string {
	if c.Median == nil {
		return fmt.Sprintf("The age by which half of the %s wear out was not reached: too few have worn out beside those in service or ended otherwise.", k.Many)
	}
	text := fmt.Sprintf("Counted with no assumption about wear, half of the %s were worn out after %s", k.Many, unit.done(s, *c.Median))
	switch {
	case c.MedianLow == nil:
		return text + ", with no range, since too few are on record."
	case c.MedianHigh == nil:
		return fmt.Sprintf("%s, and not before %s %s; how late it may be is not known.", text, unit.done(s, *c.MedianLow), nineteen)
	}
	return fmt.Sprintf("%s, between %s and %s %s.", text, unit.done(s, *c.MedianLow), unit.done(s, *c.MedianHigh), nine)
}

// Say words what the piece may still do.
func (o Outlook) Say(s quantity.Style, k Kind) string {
	text := fmt.Sprintf("This %s has done %s", k.One, o.Unit.done(s, o.Age))
	if o.Left == nil {
		return text + fmt.Sprintf("; how much more it may do cannot be said, with %s and no expected life given.", counted(o.WornOut, o.InService))
	}
	ends := o.Unit.between(s, *o.Left)
	if o.Open {
		ends = o.Unit.atLeast(s, o.Left.Low) + " with no far end in sight"
	}
	text += fmt.Sprintf(" and may do %s, %s, going by %s; ", o.Unit.more(s, o.Left.Middle), ends, o.rests())
	if o.Next > 0 {
		text += fmt.Sprintf("the chance that it does the next %s is %s, so ", o.Unit.done(s, o.Next), percentage(s, *o.Chance))
	}
	return text + o.advice(k) + "."
}

// rests says what the outlook rests on.
func (o Outlook) rests() string {
	from := counted(o.WornOut, o.InService)
	switch o.Basis {
	case Believed:
		return "the life that you expect, with " + from
	case Assumed:
		return "how such things usually wear, with " + from
	}
	return from
}

// advice says what to do. It is never that all is well.
func (o Outlook) advice(k Kind) string {
	text := "check it at its usual times"
	if o.Check {
		text = "it is time to check it"
	}
	if k.Retires != "" {
		text += ", and " + k.Retires
	}
	return text
}

// Say words what a heat costs by way of the piece.
func (c Cost) Say(s quantity.Style, k Kind) string {
	_, _, size := c.Unit.words(s)
	money := func(x float64) string {
		return s.Money(quantity.Money(math.Round(x * size * math.Pow10(s.Exponent()))))
	}
	var whole string
	if r := c.Whole; r != nil {
		whole = fmt.Sprintf("%s %s over its whole life, between %s and %s %s", money(r.Middle), c.Unit.per(s), money(r.Low), money(r.High), nine)
	}
	switch {
	case c.SoFar == nil && whole == "":
		return fmt.Sprintf("What this %s costs %s cannot be said: it has done nothing yet and how long one lasts is not known.", k.One, c.Unit.per(s))
	case c.SoFar == nil:
		return fmt.Sprintf("This %s may come to %s.", k.One, whole)
	case whole == "":
		return fmt.Sprintf("This %s has cost %s %s, its price over what it has done.", k.One, money(*c.SoFar), c.Unit.per(s))
	}
	return fmt.Sprintf("This %s has cost %s %s so far and may come to %s.", k.One, money(*c.SoFar), c.Unit.per(s), whole)
}
