package wear

import (
	"fmt"

	"drosswise/foundry/quantity"
)

// DefaultLimit is the rise over new at which it is time to check unless the
// shop says otherwise: 10 %, common practice, no source.
const DefaultLimit = 0.10

// The limits that a shop may set: rods of silicon carbide rise to two or three
// times their new resistance.
const (
	leastLimit = 0.01
	mostLimit  = 4
)

// limit is the shop's limit, or the default where it set none that can be meant.
func (s Set) limit() float64 {
	if CheckLimit(s.Limit) == nil {
		return s.Limit
	}
	return DefaultLimit
}

// CheckLimit refuses a limit that no shop can mean, nil when it is fine.
func CheckLimit(rise float64) *Refusal {
	if rise >= leastLimit && rise <= mostLimit {
		return nil
	}
	r := refuse("limit", OutOfReason, func(s quantity.Style) string {
		return fmt.Sprintf("The limit lies between %s and %s over new. %s is usual for wire.", s.Percent(leastLimit, 0), s.Percent(mostLimit, 0), s.Percent(DefaultLimit, 0))
	})
	return &r
}

// Published is what someone says about ohms that have risen. They disagree: the
// limit is the shop's to set.
type Published struct {
	Low  float64 `json:"low"` // rise over new, a share
	High float64 `json:"high"`
	Says string  `json:"says"`
	Who  string  `json:"who"`
}

// PublishedLimits are the limits found in print, the lowest first.
func PublishedLimits() []Published {
	return []Published{
		{0.05, 0.06, "Replace the element.", "a kiln's service manual, as an owner quotes it"},
		{0.06, 0.12, "Still within what is accepted; ohms rise with age.", "a kiln maker's support page"},
		{0.10, 0.10, "Time to check.", "workshops: common practice, no source"},
		{0.18, 0.18, "Worn, given for two elements.", "a potters' association's note on testing"},
		{1, 2, "Rods of silicon carbide only: end of life at two to three times the new ohms.", "a maker of silicon carbide elements, 2026"},
	}
}

// Say words what is published.
func (p Published) Say(s quantity.Style) string {
	rise := s.Percent(p.Low, 0)
	if p.High > p.Low {
		rise = s.Number(p.Low*100, 0) + " to " + s.Percent(p.High, 0)
	}
	return fmt.Sprintf("%s over new: %s (%s)", rise, p.Says, p.Who)
}
