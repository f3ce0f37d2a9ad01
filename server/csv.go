package main

import (
	"context"
	"encoding/csv"
	"errors"
	"math"
	"net/http"
	"strconv"
	"strings"
	"time"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/sheet"
	"drosswise/store"
	"drosswise/views"
)

// sheetWriter writes a table as RFC 4180 says: commas, quotes where needed,
// CRLF. Numbers have a decimal point, masses are kg, times are RFC 3339, so
// that the file reads the same everywhere.
type sheetWriter struct {
	*csv.Writer
}

func newSheet(w http.ResponseWriter, name string) sheetWriter {
	w.Header().Set("Content-Type", "text/csv; charset=utf-8; header=present")
	w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
	c := csv.NewWriter(w)
	c.UseCRLF = true
	return sheetWriter{c}
}

// row writes cells, each harmless to a spreadsheet program: text that would be
// taken for a formula gets an apostrophe before it. Numbers of ours are not
// text and pass as they are.
func (s sheetWriter) row(cells ...any) error {
	out := make([]string, len(cells))
	for i, c := range cells {
		switch c := c.(type) {
		case string:
			out[i] = harmless(c)
		case number:
			out[i] = string(c)
		}
	}
	return s.Write(out)
}

// number is a cell that was written by us as a number.
type number string

// harmless keeps a spreadsheet program from running what somebody typed
// (OWASP, CSV injection: cells that begin with = + - @, tab or return).
func harmless(text string) string {
	if text == "" || !strings.ContainsRune("=+-@\t\r\n", rune(text[0])) && !strings.HasPrefix(text, "＝") {
		return text
	}
	return "'" + text
}

func kilo(m quantity.Mass) number { return decimals(int64(m), 6) }

func maybe[T any](x *T, show func(T) number) number {
	if x == nil {
		return ""
	}
	return show(*x)
}

// decimals writes an integer of a smaller unit as a number of the larger one,
// exactly and without trailing zeros.
func decimals(n int64, places int) number {
	var style quantity.Style
	return number(style.NumberInput(n, places))
}

func joules(e quantity.Energy) number {
	return number(strconv.FormatFloat(e.KilowattHours(), 'f', -1, 64))
}

func stamp(m quantity.Moment) number { return number(m.Time().Format("2006-01-02T15:04:05.000Z07:00")) }

// meltsCSV writes the melts of a filter with their figures, the newest first.
// A figure that is not known is an empty cell.
func meltsCSV(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	ctx, done := stream(w, r)
	defer done()
	n, err := a.names(ctx, nil)
	if err != nil {
		return err
	}
	s := newSheet(w, "melts.csv")
	s.row("code", "state", "started", "furnace", "crucible", "element", "charged_kg", "recovered_kg", "recovery", "recovery_u", "energy_kwh", "scrap",
		"dross_kg", "unaccounted_kg", "unaccounted_u_kg", "cash_cost", "opportunity_cost", "currency", "void_reason")
	return a.everyMelt(ctx, filterOf(r.URL.Query(), v.style, map[string]string{}), s, func(row store.Row) error {
		sh, err := a.store.Sheet(ctx, row.ID)
		if err != nil {
			return err
		}
		reason, err := a.voidReason(ctx, row)
		if err != nil {
			return err
		}
		var scrap []string
		for _, id := range row.Sources {
			scrap = append(scrap, n.Sources[id].Name)
		}
		left := sh.Unaccounted
		return s.row(string(row.Code), string(row.State), stamp(row.Started), n.Kit[row.Furnace].Name, n.Kit[row.Crucible].Name, n.Kit[row.Element].Name,
			kilo(row.Charged), maybe(row.Recovered, kilo), maybe(row.Yield, fraction), maybe(row.YieldU, fraction), maybe(row.Energy, joules), strings.Join(scrap, "; "),
			known(sh.Dross, 6), known(left, 6), known(sheet.Figure{X: left.U, Lacks: left.Lacks}, 6),
			known(sh.Cash, v.style.Exponent()), known(sh.Opportunity, v.style.Exponent()), v.style.Currency, reason)
	})
}

// voidReason is why a melt was made void; "" for one that was not.
func (a *app) voidReason(ctx context.Context, row store.Row) (string, error) {
	if row.State != melt.Voided {
		return "", nil
	}
	_, lines, err := a.store.Melt(ctx, row.Code)
	if err != nil {
		return "", err
	}
	l, _ := melt.Last(melt.Standing(lines), melt.Void)
	return l.Note, nil
}

// known is a figure in its unit to so many decimals, nothing when it is not
// known.
func known(f sheet.Figure, places int) number {
	if !f.Known() {
		return ""
	}
	return decimals(int64(math.Round(f.X*math.Pow10(places))), places)
}

func fraction(x float64) number { return number(strconv.FormatFloat(x, 'g', -1, 64)) }

// longest is how long a download may take: a large shop over a slow line.
const longest = 15 * time.Minute

// stream gives an answer as long as a download may take, instead of the time
// that a page may.
func stream(w http.ResponseWriter, r *http.Request) (context.Context, context.CancelFunc) {
	// Where the deadline cannot be moved, the server's own holds.
	_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(longest))
	return context.WithTimeout(context.WithoutCancel(r.Context()), longest)
}

// everyMelt walks the melts of a filter page by page, so that a large shop is
// never held in memory. A failure on the way breaks the connection off: half a
// file must not look like a whole one.
func (a *app) everyMelt(ctx context.Context, f store.Filter, s sheetWriter, each func(store.Row) error) error {
	var place store.Place
	for {
		rows, more, err := a.store.Melts(ctx, f, place, false, 500)
		for _, row := range rows {
			if err == nil {
				err = each(row)
			}
		}
		s.Flush()
		if err = errors.Join(err, s.Error()); err != nil {
			a.log.Error("download broken off", "err", err)
			panic(http.ErrAbortHandler)
		}
		if !more {
			return nil
		}
		place = rows[len(rows)-1].Place()
	}
}

// linesCSV writes every line of the melts of a filter, struck ones too.
func linesCSV(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	ctx, done := stream(w, r)
	defer done()
	n, err := a.names(ctx, nil)
	if err != nil {
		return err
	}
	s := newSheet(w, "lines.csv")
	s.row("melt", "line", "kind", "happened", "written", "by", "struck", "struck_by", "struck_reason", "scrap", "ingots_of_line", "lot", "mass_kg", "readings_kg", "container_kg", "scale", "spread_kg",
		"as_found", "dry", "preheated", "into_hot", "which", "mould", "count", "cost", "meter_kwh", "energy_kwh", "temperature_c", "probe", "volts", "amps", "watts", "ohms", "crucible", "element", "note")
	return a.everyMelt(ctx, filterOf(r.URL.Query(), v.style, map[string]string{}), s, func(row store.Row) error {
		_, lines, err := a.store.Melt(ctx, row.Code)
		if err != nil {
			return err
		}
		for _, l := range lines {
			if err := s.line(row.Code, l, n, v.style.Exponent()); err != nil {
				return err
			}
		}
		return nil
	})
}

func (s sheetWriter) line(code melt.Code, l melt.Line, n views.Names, exponent int) error {
	var struckAt, struckBy, reason any = number(""), "", ""
	if k := l.Strike; k != nil {
		struckAt, struckBy, reason = stamp(k.At), n.People[k.By], k.Reason
	}
	readings := make([]string, len(l.Gross))
	for i, g := range l.Gross {
		readings[i] = string(kilo(g))
	}
	mass, tare := number(""), number("")
	if l.Weighed() {
		mass, tare = kilo(l.Mass()), kilo(l.Tare)
	}
	return s.row(string(code), id(l.ID), string(l.Kind), stamp(l.At), stamp(l.Noted), n.People[l.By], struckAt, struckBy, reason,
		n.Sources[l.Source].Name, id(l.Pour), id(l.Lot), mass, strings.Join(readings, "; "), tare, n.Kit[l.Scale].Name, maybe(l.Spread, kilo),
		flag01(l.AsFound), flag01(l.Dry), flag01(l.Preheated), flag01(l.IntoHot), l.Which, l.Mould,
		maybe(l.Count, func(c int) number { return number(strconv.Itoa(c)) }),
		maybe(l.Cost, func(m quantity.Money) number { return decimals(int64(m), exponent) }),
		maybe(l.Meter, joules), maybe(l.Energy, joules),
		maybe(l.Temp, func(t quantity.Temperature) number { return decimals(int64(t), 2) }), n.Kit[l.Probe].Name,
		maybe(l.Volts, func(x quantity.Voltage) number { return decimals(int64(x), 3) }),
		maybe(l.Amps, func(x quantity.Current) number { return decimals(int64(x), 3) }),
		maybe(l.Watts, func(x quantity.Power) number { return decimals(int64(x), 3) }),
		maybe(l.Ohms, func(x quantity.Resistance) number { return decimals(int64(x), 3) }),
		n.Kit[l.Crucible].Name, n.Kit[l.Element].Name, l.Note)
}

func id(n int64) number {
	if n == 0 {
		return ""
	}
	return number(strconv.FormatInt(n, 10))
}

func flag01(on bool) number {
	if on {
		return "1"
	}
	return "0"
}
