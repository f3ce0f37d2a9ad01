package life

import (
	"fmt"

	"drosswise/foundry/quantity"
)

// RefusalCode says what is wrong with a number.
type RefusalCode string

// What may be wrong with a number.
const (
	BadAge        RefusalCode = "bad_age"        // below 0 or LeastAge, above LongestAge, no number
	NothingDone   RefusalCode = "nothing_done"   // worn out at age 0
	UnknownEnd    RefusalCode = "unknown_end"    // none of the four
	BadExpected   RefusalCode = "bad_expected"   // as BadAge, of the expected life
	BadNext       RefusalCode = "bad_next"       // as BadAge, of what is asked to be seen next
	BadPrice      RefusalCode = "bad_price"      // below 0, beyond belief, no number
	BadReading    RefusalCode = "bad_reading"    // not above 0, beyond belief, no number
	BadResolution RefusalCode = "bad_resolution" // as BadReading
)

// Refusal says which number cannot be. Nothing was worked out from it.
type Refusal struct {
	Code  RefusalCode `json:"code"`
	Piece int64       `json:"piece,omitempty"` // 0 when it is about none
	Value float64     `json:"-"`               // may be no number, which JSON cannot say
}

// Error names what was refused; people are shown Say instead.
func (r *Refusal) Error() string {
	return fmt.Sprintf("life: %s %g of piece %d", r.Code, r.Value, r.Piece)
}

// Say says what is wrong and what to do.
func (r *Refusal) Say(s quantity.Style) string {
	v := s.Number(r.Value, 0)
	switch r.Code {
	case BadAge:
		return fmt.Sprintf("A piece cannot have done %s: look at the melts that it is named in.", v)
	case NothingDone:
		return "A piece that wore out must have done something: name it in its melts, or say that it ended by accident."
	case UnknownEnd:
		return "It is not known how this piece ended: say whether it wore out, ended by accident or for another reason."
	case BadExpected:
		return fmt.Sprintf("A life of %s cannot be expected: type how long you think one lasts, or leave it empty.", v)
	case BadNext:
		return fmt.Sprintf("The chance to see %s more cannot be said: ask for a number from 0 on.", v)
	case BadPrice:
		return fmt.Sprintf("A price cannot be %s: type what the piece cost, 0 if it was free.", v)
	case BadReading:
		return fmt.Sprintf("A reading of %s cannot be: look at it again, and at its unit.", v)
	case BadResolution:
		return "How finely the scale or the caliper reads is not known: write it under Kit."
	}
	return "This cannot be: look at the numbers again."
}

func (p Piece) refuse() *Refusal {
	switch {
	case !isAge(p.Age):
		return &Refusal{Code: BadAge, Piece: p.ID, Value: p.Age}
	case p.End != InService && p.End != WornOut && p.End != Accident && p.End != Otherwise:
		return &Refusal{Code: UnknownEnd, Piece: p.ID, Value: p.Age}
	case p.End == WornOut && p.Age == 0:
		return &Refusal{Code: NothingDone, Piece: p.ID}
	}
	return nil
}

// isAge is written so that not-a-number is no age.
func isAge(x float64) bool { return x == 0 || x >= LeastAge && x <= LongestAge }
