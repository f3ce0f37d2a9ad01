package tariff

import (
	"fmt"

	"drosswise/foundry/quantity"
)

// Check says what is wrong with a tariff's bands: an edge that is no time of
// day, a band without length, two bands at once. The error is a
// [*quantity.Refusal].
func (t Tariff) Check() error {
	for i, band := range t.Bands {
		if band.FromMinute < 0 || band.FromMinute >= dayMinutes || band.ToMinute < 0 || band.ToMinute > dayMinutes {
			return refuse(band, "The band "+band.String()+" is not within a day. Give its start and end as times from 00:00 to 24:00.")
		}
		if band.FromMinute == band.ToMinute {
			return refuse(band, "The band "+band.String()+" has no length. "+
				"Give it an end of its own, or leave it out and put its price as the tariff's price.")
		}
		for _, other := range t.Bands[:i] {
			if band.overlaps(other) {
				return refuse(band, "The bands "+other.String()+" and "+band.String()+
					" overlap. Let one end where the other starts.")
			}
		}
	}
	return nil
}

func refuse(band Band, sentence string) *quantity.Refusal {
	return &quantity.Refusal{Text: band.String(), Sentence: sentence}
}

// String gives the band's edges: "22:00–06:00".
func (b Band) String() string {
	return clock(b.FromMinute) + "–" + clock(b.ToMinute)
}

func clock(minute int) string {
	if minute < 0 {
		return "−" + clock(-minute)
	}
	return fmt.Sprintf("%02d:%02d", minute/60, minute%60)
}

// holds says whether a minute of the day lies in the band.
func (b Band) holds(minute int) bool {
	if b.FromMinute <= b.ToMinute {
		return b.FromMinute <= minute && minute < b.ToMinute
	}
	return b.FromMinute <= minute || minute < b.ToMinute
}

// overlaps: of two bands that share a minute, one starts inside the other.
func (b Band) overlaps(other Band) bool {
	return b.holds(other.FromMinute) || other.holds(b.FromMinute)
}
