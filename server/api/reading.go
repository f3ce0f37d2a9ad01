package api

import (
	"mime"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"drosswise/foundry/curve"
	"drosswise/foundry/senml"
)

// Readings are a batch on its way in: a list of SenML.
type Readings struct {
	Key     string    `header:"Idempotency-Key" maxLength:"66" doc:"Needed where times hang on when the batch comes: those below 2**28, and all with clock. 8 to 64 letters of a to z, A to Z, 0 to 9 and -. The same batch sent again with the same key and clock is laid on the times of the first; another one is refused (409). Sent with times of its own a batch needs none."`
	Clock   time.Time `query:"clock" doc:"What the logger's own clock shows when it sends. All times are then moved by what it is off, unless that is less than two seconds."`
	Type    string    `header:"Content-Type" hidden:"true"`
	RawBody []byte
}

// senMLTypes are the types under which readings come.
var senMLTypes = []string{senml.Media, senml.Stream, "application/json"}

// Listed says how what came is to be read: as a stream, which may end amid a
// record, or as a list. What comes under another type is refused; under none it
// is a list.
func (r Readings) Listed() (stream bool, err error) {
	if r.Type == "" {
		return false, nil
	}
	kind, _, err := mime.ParseMediaType(r.Type)
	if err != nil || !slices.Contains(senMLTypes, kind) {
		return false, &Problem{
			Type: "about:blank", Title: "That kind of content is not taken here", Status: http.StatusUnsupportedMediaType,
			Detail: "Readings come as SenML in JSON. Send them with one of these as Content-Type: " + strings.Join(senMLTypes, ", ") + ".",
		}
	}
	return kind == senml.Stream, nil
}

// TakesSenML describes what comes in: a list or a stream as RFC 8428 has them,
// under their own types, or a list as plain JSON.
func TakesSenML(op *huma.Operation) {
	text, number := &huma.Schema{Type: huma.TypeString}, &huma.Schema{Type: huma.TypeNumber}
	fields := map[string]*huma.Schema{}
	for _, label := range []string{"bn", "bu", "n", "vs", "vd"} {
		fields[label] = text
	}
	for _, label := range []string{"bt", "bv", "bs", "bver", "v", "s", "t", "ut"} {
		fields[label] = number
	}
	fields["vb"] = &huma.Schema{Type: huma.TypeBoolean}
	fields["u"] = &huma.Schema{Type: huma.TypeString, Description: "Cel or K, W or kW, J, Wh or kWh (a counter), V or mV, A or mA. Readings in other units are passed over. What stands in s beside W is a counter in J."}
	list := &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeArray, Items: &huma.Schema{Type: huma.TypeObject, Properties: fields, AdditionalProperties: true, Description: "A record of RFC 8428."}}}
	op.SkipValidateBody = true // senml.Decode says what is wrong, record by record
	op.RequestBody = &huma.RequestBody{Required: true, Content: map[string]*huma.MediaType{}}
	for _, kind := range senMLTypes {
		op.RequestBody.Content[kind] = list
	}
}

// Asking says which readings are wanted.
type Asking struct {
	Series int64     `query:"series" doc:"Number of the series whose readings are wanted; without it only the series are told."`
	After  time.Time `query:"after" doc:"Only later ones."`
	Limit  int       `query:"limit" minimum:"1" maximum:"10000" default:"1000"`
}

// Taken says what became of a batch.
type Taken struct {
	Stored  int      `json:"stored" doc:"New ones, on disk."`
	Had     int      `json:"had" doc:"Those that were there with the same value."`
	Other   int      `json:"other" doc:"Those of a time that has another value, which stays."`
	Passed  int      `json:"passed" doc:"Those passed over."`
	MovedBy float64  `json:"moved_s" doc:"Seconds by which times were moved since the logger's clock is off."`
	Says    []string `json:"says" nullable:"false" doc:"What was passed over or moved, and why."`
}

// Series is a quantity by one sensor in one melt.
type Series struct {
	ID      int64   `json:"id"`
	Channel Channel `json:"channel"`
	Name    string  `json:"name" doc:"As the sensor calls itself."`
	Unit    string  `json:"unit" doc:"Of its readings: Cel, W, J, V or A."`
	Count   int     `json:"count" doc:"How many readings it has."`
	Moved   float64 `json:"moved_s" doc:"Seconds by which its times were last moved, for a clock that was off."`
	Struck  *Struck `json:"struck"`
}

// Reading is one.
type Reading struct {
	At    time.Time `json:"at"`
	Value float64   `json:"value" doc:"In the unit of the series."`
}

// ReadingsTold are the series of a melt and readings of one of them.
type ReadingsTold struct {
	Series   []Series  `json:"series" nullable:"false"`
	Readings []Reading `json:"readings" nullable:"false" doc:"Of the series that was asked for, in the order of their times."`
	More     bool      `json:"more" doc:"There are later ones: ask again with after."`
}

// Channel is what a series is of.
type Channel string

// Schema lists the channels.
func (Channel) Schema(huma.Registry) *huma.Schema {
	var all []any
	for _, c := range curve.Channels {
		all = append(all, string(c))
	}
	return words("What is read.", all)
}
