// Package senml reads Sensor Measurement Lists in JSON as RFC 8428 (2018) has
// them: a list of records, of which each may set a base for those that follow.
// It gives every record for itself, with nothing left to add. It knows no
// channels, keeps nothing and does no I/O.
package senml

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"drosswise/foundry/quantity"
)

// The types in JSON of a list and of a stream, which may be left open (RFC 8428,
// 12.3.1 and 12.3.2).
const (
	Media  = "application/senml+json"
	Stream = "application/sensml+json"
)

// Version is the newest version that is read (RFC 8428, 4.4).
const Version = 10

// latestRelative bounds the times that are relative to now: those below 2**28 s
// (RFC 8428, 4.5.3).
const latestRelative = 1 << 28

// Limits are what a list may have at most. A zero is no limit.
type Limits struct {
	Records int
	Name    int  // bytes of a whole name
	Open    bool // it is a stream, which may end after any record or amid one
}

// Record is a record with all bases added to it.
type Record struct {
	Name  string
	Unit  string // "" where none is said
	At    quantity.Moment
	Now   bool // At was said relative to the time of reading
	Value *float64
	Sum   *float64 // integrated over time, such as a meter's count beside its power
	Text  *string
	Bool  *bool
	Data  *string // as it came, base64url
}

// Refusal says what is wrong with a list.
type Refusal struct {
	Record   int // counted from 1, 0 for the list as a whole
	Sentence string
}

func (r *Refusal) Error() string {
	if r.Record == 0 {
		return r.Sentence
	}
	return fmt.Sprintf("Record %d: %s", r.Record, r.Sentence)
}

func refuse(record int, format string, args ...any) error {
	return &Refusal{record, fmt.Sprintf(format, args...)}
}

// bases are what the records so far have set.
type bases struct {
	name, unit       string
	time, value, sum float64
	version          float64
}

// fields are a record as it came; nil is not there.
type fields struct {
	bn, bu, n, u, vs, vd      *string
	bt, bv, bs, bver, v, s, t *float64
	ut                        *float64
	vb                        *bool
}

// Decode reads a list. now is what times below 2**28 s are relative to. Records
// that only set bases give none. Of a stream that ends amid a record, those
// before it are given (RFC 8428, 5.1.2). Errors are of type [*Refusal].
func Decode(body []byte, now quantity.Moment, l Limits) ([]Record, error) {
	d := json.NewDecoder(bytes.NewReader(body))
	if t, err := d.Token(); err != nil || t != json.Delim('[') {
		return nil, refuse(0, "A list of records is wanted, in square brackets, as RFC 8428 has it.")
	}
	var all []Record
	var b bases
	for i := 1; d.More(); i++ {
		if l.Records > 0 && i > l.Records {
			return nil, refuse(0, "There are more than %d records. Send them in several lists.", l.Records)
		}
		var raw map[string]json.RawMessage
		if err := d.Decode(&raw); ended(err) {
			if l.Open {
				return all, nil
			}
			return nil, brokenOff
		} else if err != nil || raw == nil {
			return nil, refuse(i, "It is no JSON object.")
		}
		f, err := read(i, raw)
		if err != nil {
			return nil, err
		}
		r, is, err := b.resolve(i, f, now, l)
		if err != nil {
			return nil, err
		}
		if is {
			all = append(all, r)
		}
	}
	if _, err := d.Token(); ended(err) && l.Open {
		return all, nil
	} else if err != nil {
		return nil, brokenOff
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, refuse(0, "Something stands behind the list. Send one list at a time.")
	}
	return all, nil
}

var brokenOff = refuse(0, "The list breaks off. Send it once more.")

// ended tells that what was read had its end where more was wanted.
func ended(err error) bool {
	return errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF)
}

// read takes a record's fields apart. Labels are told by case; those that are
// not known are passed over, unless they end in an underscore (4.4, 12.2).
func read(i int, raw map[string]json.RawMessage) (f fields, err error) {
	for label, value := range raw {
		ok := true
		switch label {
		case "bn":
			ok = into(value, &f.bn)
		case "bt":
			ok = into(value, &f.bt)
		case "bu":
			ok = into(value, &f.bu)
		case "bv":
			ok = into(value, &f.bv)
		case "bs":
			ok = into(value, &f.bs)
		case "bver":
			ok = into(value, &f.bver)
		case "n":
			ok = into(value, &f.n)
		case "u":
			ok = into(value, &f.u)
		case "v":
			ok = into(value, &f.v)
		case "vs":
			ok = into(value, &f.vs)
		case "vb":
			ok = into(value, &f.vb)
		case "vd":
			ok = into(value, &f.vd)
		case "s":
			ok = into(value, &f.s)
		case "t":
			ok = into(value, &f.t)
		case "ut":
			ok = into(value, &f.ut)
		default:
			if strings.HasSuffix(label, "_") {
				return f, refuse(i, "The field %s must be understood by who reads it, and it is not.", short(label))
			}
		}
		if !ok {
			return f, refuse(i, "The field %s has a value of the wrong kind.", label)
		}
	}
	return f, nil
}

// into reads a value; null is of no kind that a field may have.
func into[T any](raw json.RawMessage, to **T) bool {
	return json.Unmarshal(raw, to) == nil && *to != nil
}

// resolve sets the bases that a record brings, and adds those that hold to it
// (4.6). is is false for one that brings nothing but bases.
func (b *bases) resolve(i int, f fields, now quantity.Moment, l Limits) (r Record, is bool, err error) {
	set(&b.name, f.bn)
	set(&b.unit, f.bu)
	set(&b.time, f.bt)
	set(&b.value, f.bv)
	set(&b.sum, f.bs)
	if err := b.versioned(i, f.bver); err != nil {
		return r, false, err
	}
	values := count(f.v != nil, f.vs != nil, f.vb != nil, f.vd != nil)
	switch {
	case values > 1:
		return r, false, refuse(i, "It has more than one value.")
	case values == 0 && f.s == nil:
		if count(f.bn != nil, f.bu != nil, f.bt != nil, f.bv != nil, f.bs != nil, f.bver != nil) == 0 {
			return r, false, refuse(i, "It has no value.")
		}
		return r, false, nil
	}
	r = Record{Name: b.name + or(f.n, ""), Unit: or(f.u, b.unit), Text: f.vs, Bool: f.vb, Data: f.vd}
	if err := named(i, r.Name, l); err != nil {
		return r, false, err
	}
	if r.At, r.Now, err = moment(i, b.time+or(f.t, 0), now); err != nil {
		return r, false, err
	}
	if f.v != nil {
		r.Value = new(b.value + *f.v)
	}
	if f.s != nil {
		r.Sum = new(b.sum + *f.s)
	}
	if r.Value != nil && math.IsInf(*r.Value, 0) || r.Sum != nil && math.IsInf(*r.Sum, 0) {
		return r, false, refuse(i, "Its value is too large.")
	}
	return r, true, nil
}

// versioned holds that a list is of one version, and of one that is known.
func (b *bases) versioned(i int, said *float64) error {
	switch {
	case said == nil:
		return nil
	case *said != math.Trunc(*said) || *said < 1:
		return refuse(i, "The version (bver) is no whole number above zero.")
	case *said > Version:
		return refuse(i, "It is of version %g, and those up to %d are read.", *said, Version)
	case b.version != 0 && b.version != *said:
		return refuse(i, "It is of another version than the records before it.")
	}
	b.version = *said
	return nil
}

// named holds a name to what the RFC lets names be made of (4.5.1).
func named(i int, name string, l Limits) error {
	if name == "" {
		return refuse(i, "It has no name. Say with n or bn which sensor it is of.")
	}
	if l.Name > 0 && len(name) > l.Name {
		return refuse(i, "Its name is longer than %d letters.", l.Name)
	}
	for n, c := range []byte(name) {
		letter := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9'
		if !letter && (n == 0 || !strings.ContainsRune("-:./_", rune(c))) {
			return refuse(i, "Its name %s may have only letters, digits and - : . / _ and begins with a letter or digit.", short(name))
		}
	}
	return nil
}

// The times that are read, so that a fault in a clock is told and not kept.
var (
	first = quantity.Moment(0)
	last  = quantity.Moment(4102444800000) // 2100-01-01
)

// moment reads a time in seconds.
func moment(i int, seconds float64, now quantity.Moment) (at quantity.Moment, relative bool, err error) {
	ms := math.Round(seconds * 1000)
	if seconds < latestRelative {
		ms, relative = ms+float64(now), true
	}
	if !(ms >= float64(first) && ms <= float64(last)) {
		return 0, relative, refuse(i, "Its time is outside the years from 1970 to 2100. Times are in seconds, not in milliseconds.")
	}
	return quantity.Moment(ms), relative, nil
}

func set[T any](to *T, from *T) {
	if from != nil {
		*to = *from
	}
}

func or[T any](x *T, otherwise T) T {
	if x == nil {
		return otherwise
	}
	return *x
}

func count(these ...bool) (n int) {
	for _, x := range these {
		if x {
			n++
		}
	}
	return n
}

// short is text from outside as a sentence can hold it.
func short(text string) string {
	text = strings.ToValidUTF8(text, "?")
	if utf8.RuneCountInString(text) > 40 {
		text = string([]rune(text)[:40]) + "…"
	}
	return fmt.Sprintf("%q", text)
}
