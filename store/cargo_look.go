package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"image/jpeg"
	"strings"
	"time"

	"drosswise/foundry/curve"
	"drosswise/foundry/kit"
	"drosswise/foundry/logfile"
	"drosswise/foundry/melt"
	"drosswise/foundry/notebook"
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
	"drosswise/foundry/tariff"
)

// clockSlack is by how much clocks may differ, that of a logger too.
const clockSlack = quantity.Moment(5 * quantity.Minute)

// cargoRow is a row whose cells were read.
type cargoRow struct {
	table  cargoTable
	values []any
	wrong  func(column, sentence string)
}

func (r cargoRow) value(name string) any {
	for i, col := range r.table.columns {
		if col.name == name {
			return r.values[i]
		}
	}
	return nil
}

func (r cargoRow) text(name string) string { v, _ := r.value(name).(string); return v }

// number is 0 where nothing stands.
func (r cargoRow) number(name string) int64 { v, _ := r.value(name).(int64); return v }

func (r cargoRow) whole(name string) *int {
	v, ok := r.value(name).(int64)
	if !ok {
		return nil
	}
	n := int(v)
	return &n
}

// looks say of rows, while they are read, what the database has no rule for, and
// remember what rows of later tables are held against.
var looks = map[string]func(*cargo, cargoRow){
	"person":       lookPerson,
	"shop":         lookShop,
	"tariff_band":  lookBand,
	"kit":          lookKit,
	"due_rule":     lookDueRule,
	"belief":       lookBelief,
	"yard_price":   lookPrice,
	"melt":         lookMelt,
	"photo":        lookPhoto,
	"series":       lookSeries,
	"reading":      lookReading,
	"import_match": func(_ *cargo, r cargoRow) { lookMatch[notebook.Match](r) },
	"log_match":    func(_ *cargo, r cargoRow) { lookMatch[logfile.Match](r) },
}

// fileStyle is how amounts are said beside those of a file: in its units.
var fileStyle = quantity.Style{MassUnit: quantity.Kilo}

func lookPerson(_ *cargo, r cargoRow) {
	if name := r.text("name"); strings.TrimSpace(name) != name || name == "" {
		r.wrong("name", "A name has letters, and no spaces before or after it. Mend it: people sign in by it.")
	}
}

func lookShop(_ *cargo, r cargoRow) {
	if strings.TrimSpace(r.text("name")) == "" {
		r.wrong("name", "The shop has no name. Put one in.")
	}
	// The machine's own zone has a name here too, which would move with the machine.
	if _, err := time.LoadLocation(r.text("zone")); err != nil || r.text("zone") == "" || r.text("zone") == "Local" {
		r.wrong("zone", "There is no such time zone. Put in one of the IANA list, such as Europe/London.")
	}
	if !quantity.IsCurrency(r.text("currency")) {
		r.wrong("currency", "There is no such currency. Put in its three letters (ISO 4217), such as EUR.")
	}
}

func lookBand(c *cargo, r cargoRow) {
	id := r.number("tariff_id")
	t := c.tariffs[id]
	band := tariff.Band{FromMinute: int(r.number("from_minute")), ToMinute: int(r.number("to_minute")), Price: quantity.Price(r.number("price"))}
	had := t.Bands
	t.Bands = append(had[:len(had):len(had)], band)
	var refused *quantity.Refusal
	if errors.As(t.Check(), &refused) {
		r.wrong("from_minute", refused.Sentence)
		return
	}
	c.tariffs[id] = t
}

func lookKit(c *cargo, r cargoRow) {
	if len([]rune(r.text("note"))) > melt.MaxText {
		r.wrong("note", fmt.Sprintf("That is too long. Put in text of at most %d letters.", melt.MaxText))
	}
	c.kit[r.number("id")] = kit.Item{Kind: kit.Kind(r.text("kind")), Letter: r.text("letter")}
}

func lookBelief(_ *cargo, r cargoRow) {
	for _, name := range []string{"metal_sd", "dross_sd"} {
		if sd, ok := r.value(name).(int64); ok && (float64(sd)/1e6 < recovery.Surest || float64(sd)/1e6 > recovery.LeastSure) {
			r.wrong(name, fmt.Sprintf("Nobody is surer, or more says nothing. Put in a share from %v to %v, or leave both cells empty.", recovery.Surest, recovery.LeastSure))
		}
	}
}

func lookDueRule(_ *cargo, r cargoRow) {
	rule := kit.Rule{Kind: kit.Kind(r.text("kind")), Heats: r.whole("heats"), Days: r.whole("days")}
	for _, refused := range rule.Check() {
		r.wrong(strings.TrimPrefix(refused.Field, string(rule.Kind)+"_"), refused.Say(fileStyle))
	}
}

func lookPrice(_ *cargo, r cargoRow) {
	if (scrap.Goods(r.text("goods")) == scrap.Unmelted) != (r.value("source_id") != nil) {
		r.wrong("source_id", "A price of scrap is of one scrap, and no other price is. Put in which, or leave the cell empty.")
	}
	price := quantity.Price(r.number("price"))
	for _, refused := range scrap.CheckPrice("price", &price) {
		r.wrong("price", refused.Say(fileStyle))
	}
}

// aDay is more than what zones are away from UTC.
const aDay = quantity.Moment(24 * quantity.Hour)

func lookMelt(c *cargo, r cargoRow) {
	letter, year, number := r.text("letter"), int(r.number("year")), int(r.number("number"))
	code := melt.NewCode(letter, year, number)
	switch _, _, _, isCode := melt.Code(r.text("code")).Parts(); {
	case !isCode:
		r.wrong("code", "That is no code of a melt. Write it as A26-001.")
	case melt.Code(r.text("code")) != code:
		r.wrong("code", fmt.Sprintf("That does not belong to letter %s, year %d and number %d, of which the code is %s. Mend it, or those.", letter, year, number, code))
	}
	if it := c.kit[r.number("furnace_id")]; it.Letter != letter {
		r.wrong("letter", fmt.Sprintf("Furnace %d has the letter %s in kit.csv. Put in the same here and there, or the number of another furnace.", r.number("furnace_id"), it.Letter))
	}
	at := quantity.Moment(r.number("at"))
	if from, to := (at - aDay).Time().UTC().Year(), (at + aDay).Time().UTC().Year(); year < from || year > to {
		r.wrong("year", fmt.Sprintf("The melt began on %s. Put in the year of that day, also in the code, or mend when it began.", fileStyle.Date(at)))
	}
	if ambient, ok := r.value("ambient").(int64); ok && (ambient < int64(-50*quantity.Celsius) || ambient > int64(60*quantity.Celsius)) {
		r.wrong("ambient", "A shed is between -50 and 60 °C. Check the number, or leave the cell empty.")
	}
}

func lookPhoto(_ *cargo, r cargoRow) {
	body, _ := r.value("body").([]byte)
	is, err := jpeg.DecodeConfig(bytes.NewReader(body))
	if err != nil {
		r.wrong("body", "That file cannot be shown as a picture. Put in the one that was exported.")
		return
	}
	for name, pixels := range map[string]int{"width": is.Width, "height": is.Height} {
		if int(r.number(name)) != pixels {
			r.wrong(name, fmt.Sprintf("The picture has %d here. Put that in, or the picture that was exported.", pixels))
		}
	}
}

// LongPicture and LongThumb are how many pixels the longest side of a photo's two
// pictures has at most.
const (
	LongPicture = 1600
	LongThumb   = 320
)

// pictureFault says what of a file is no picture as the shop keeps them, "" for
// nothing.
func pictureFault(column string, body []byte) string {
	is, err := jpeg.DecodeConfig(bytes.NewReader(body))
	long := LongPicture
	if column == "thumb" {
		long = LongThumb
	}
	switch {
	// A JPEG begins and ends so (ITU-T T.81, 1992, B.1.1.3: SOI and EOI).
	case err != nil || !bytes.HasPrefix(body, []byte{0xff, 0xd8, 0xff}) || !bytes.HasSuffix(body, []byte{0xff, 0xd9}):
		return "That file is no whole JPEG of at most 8 MB. Put in the one that was exported."
	case is.Width > long || is.Height > long:
		return fmt.Sprintf("That picture is larger than the shop keeps them: the longest side has at most %d pixels. Put in the one that was exported, and add new ones as photos in the shop.", long)
	case carriesMore(body):
		return "That picture carries more than a picture, as cameras write into it where and when it was taken. Put in the one that was exported, and add new ones as photos in the shop: it takes that out."
	}
	return ""
}

// carriesMore reports whether a JPEG has segments of applications, other than the
// one that every JPEG file may begin with (JFIF), or comments before the picture.
func carriesMore(body []byte) bool {
	const app1, app15, comment, scan = 0xe1, 0xef, 0xfe, 0xda
	for at := 2; at+4 <= len(body) && body[at] == 0xff; {
		switch kind := body[at+1]; {
		case kind == scan:
			return false
		case kind >= app1 && kind <= app15, kind == comment:
			return true
		}
		at += 2 + int(body[at+2])<<8 + int(body[at+3])
	}
	return false
}

func lookSeries(c *cargo, r cargoRow) {
	c.channels[r.number("id")] = curve.Channel(r.text("channel"))
}

func lookReading(c *cargo, r cargoRow) {
	channel := c.channels[r.number("series_id")]
	if channel.Unit() == "" {
		return // what is wrong with its series is said there
	}
	if least, most := channel.Bounds(); r.number("value") < least || r.number("value") > most {
		r.wrong("value", fmt.Sprintf("No furnace has such a value: in these units it is from %d to %d. Check the number, or take the row out.", least, most))
	}
}

// lookMatch looks whether what is remembered of a match can be read again.
func lookMatch[M any](r cargoRow) {
	var columns []string
	if json.Unmarshal([]byte(r.text("columns")), &columns) != nil {
		r.wrong("columns", "That is no list of headings as JSON. Put in what was exported, or take the row out.")
	}
	if json.Unmarshal([]byte(r.text("body")), new(M)) != nil {
		r.wrong("body", "That is no match as JSON. Put in what was exported, or take the row out.")
	}
}

// kindNamed names a kind of kit with its article.
func kindNamed(k kit.Kind) string {
	if k == kit.Element {
		return "an element set"
	}
	return "a " + strings.ToLower(k.Name())
}
