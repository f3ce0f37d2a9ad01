package wear

import (
	"fmt"

	"drosswise/foundry/quantity"
)

// Fault is what is the matter with a reading that is not counted.
type Fault string

// The faults of readings and of what is typed for the bench.
const (
	Missing     Fault = "missing"       // too little to work it out
	NotPositive Fault = "not_positive"  // zero, negative or not a number
	UnitSlip    Fault = "unit_slip"     // a thousand times off
	Swapped     Fault = "swapped"       // two readings in each other's place, or hours out of order
	Disagrees   Fault = "disagrees"     // with another reading, by Ohm's law
	OutOfReason Fault = "out_of_reason" // too far from all else known of the set
)

// Refusal says why something typed is not counted. It changes nothing else.
type Refusal struct {
	ID    int64  `json:"reading,omitempty"`
	Field string `json:"field"` // such as "ohms"
	Fault Fault  `json:"fault"`
	say   func(quantity.Style) string
}

// Say gives the sentence for a person: what is wrong and what to do.
func (r Refusal) Say(s quantity.Style) string { return r.say(s) }

// Error names field and fault; people are shown Say.
func (r Refusal) Error() string { return fmt.Sprintf("%s refused: %s", r.Field, r.Fault) }

func refuse(field string, fault Fault, say func(quantity.Style) string) Refusal {
	return Refusal{Field: field, Fault: fault, say: say}
}

// plainly refuses with a sentence that has no numbers.
func plainly(field string, fault Fault, sentence string) Refusal {
	return refuse(field, fault, func(quantity.Style) string { return sentence })
}
