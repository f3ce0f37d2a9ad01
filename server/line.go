package main

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/store"
	"drosswise/views"
)

// addPage shows the form for a line of a kind; with ?of=LINE it is filled with
// that line, which the new one will take the place of.
func addPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	h, lines, err := a.store.Melt(r.Context(), codeOf(r))
	if err != nil {
		return err
	}
	spec, ok := melt.SpecOf(melt.Kind(chi.URLParam(r, "kind")))
	if !ok {
		return store.ErrNotFound
	}
	f := newForm(url.Values{}, v.style)
	var shut melt.Refusals
	if errors.As(melt.CheckOpen(h, lines, spec.Kind), &shut) {
		f.refuse(shut)
	}
	of := pathID(r.URL.Query().Get("of"))
	if of != 0 {
		i := slices.IndexFunc(lines, func(l melt.Line) bool { return l.ID == of })
		if i < 0 {
			return store.ErrNotFound
		}
		f.values = typed(lines[i], v.style)
	}
	return a.showLineForm(w, r, v, http.StatusOK, h, lines, spec, of, f)
}

func (a *app) showLineForm(w http.ResponseWriter, r *http.Request, v visit, status int, h melt.Heading, lines []melt.Line, spec melt.Spec, of int64, f *form) error {
	ctx := r.Context()
	names, err := a.names(ctx, lines)
	if err != nil {
		return err
	}
	var sources []views.Option
	if spec.Uses(melt.PartSource) {
		if sources, err = a.charges(ctx, v.style, names, lines); err != nil {
			return err
		}
	}
	page := lineForm(v, h, lines, spec, f, names, sources)
	if spec.Kind == melt.Checked {
		if page.Points, err = a.points(ctx, v, h, lines, names); err != nil {
			return err
		}
	}
	page.Of = of
	if status == http.StatusOK {
		page.Shut = f.faults["kind"]
	}
	if status != http.StatusOK {
		page.Key = f.values.Get("key")
	}
	presume(&page, h, lines)
	return a.show(w, r, status, page.Page(a.frame(r, v, spec.Verb+", melt "+string(h.Code), "melts")))
}

// lineForm is the form for a kind of line of a melt, with what is typed in f.
func lineForm(v visit, h melt.Heading, lines []melt.Line, spec melt.Spec, f *form, names views.Names, sources []views.Option) views.LineForm {
	page := views.LineForm{
		Code: h.Code, Spec: spec, Key: newKey(), Typed: f.values, Faults: f.faults, Doubts: f.doubts, Names: names, Sources: sources,
		Today: v.style.DateInput(h.At), InPast: v.now.Since(h.At) > 12*quantity.Hour && spec.Kind != melt.Close && spec.Kind != melt.Reopen && spec.Kind != melt.Void,
	}
	standing := melt.Standing(lines)
	for _, l := range standing {
		if l.Kind == melt.Charge && l.Source != 0 {
			page.Hazards = page.Hazards.Or(views.HazardsOf(names.Sources[l.Source]))
		}
	}
	page.Hazards.HotMetal = views.MetalIsHot(standing)
	if spec.Kind == melt.Close {
		page.Open = melt.StillOpen(standing)
	}
	return page
}

// presume chooses what was used last, where nothing is typed yet: the scale,
// the source, the thermocouple, and whether the charge goes into hot metal.
func presume(page *views.LineForm, h melt.Heading, lines []melt.Line) {
	fill := url.Values{}
	for k, v := range page.Typed {
		fill[k] = v
	}
	set := func(name string, id int64) {
		if _, had := fill[name]; !had && id != 0 {
			fill.Set(name, strconv.FormatInt(id, 10))
		}
	}
	standing := melt.Standing(lines)
	for _, l := range slices.Backward(standing) {
		set("scale", l.Scale)
	}
	set("probe", h.Probe)
	if page.Spec.Kind == melt.Charge && page.Of == 0 && len(page.Typed) == 0 {
		if l, ok := melt.Last(standing, melt.Charge); ok && l.Pour == 0 {
			fill.Set("source", chargeValue(l))
			if l.AsFound {
				fill.Set("basis", "found")
			}
		}
		if views.MetalIsHot(standing) {
			fill.Set("into_hot", "1")
		}
	}
	page.Typed = fill
}

// openLots is how many deliveries of each source are offered when charging.
const openLots = 5

// charges lists what can be charged: scrap by name with its latest deliveries
// that have something left, then ingots of the latest pours, then whatever else
// the melt's own lines name, so that a correction can keep it.
func (a *app) charges(ctx context.Context, style quantity.Style, names views.Names, lines []melt.Line) ([]views.Option, error) {
	var options []views.Option
	lots, err := a.store.OpenLots(ctx, openLots)
	if err != nil {
		return nil, err
	}
	for _, p := range names.SortedSources() {
		if p.Ended != nil {
			continue
		}
		options = append(options, views.Option{Value: fmt.Sprintf("source-%d", p.ID), Label: p.Name})
		for _, l := range lots {
			if left, _ := l.Left(); l.Source == p.ID {
				options = append(options, views.Option{Value: fmt.Sprintf("lot-%d-%d", p.ID, l.ID), Label: fmt.Sprintf("%s, delivery of %s (%s left)", p.Name, style.Date(l.At), style.Mass(left))})
			}
		}
	}
	pours, err := a.store.RecentPours(ctx, 20)
	if err != nil {
		return nil, err
	}
	for _, p := range pours {
		if slices.ContainsFunc(lines, func(l melt.Line) bool { return l.ID == p.ID }) {
			continue
		}
		options = append(options, views.Option{Value: fmt.Sprintf("pour-%d", p.ID), Label: fmt.Sprintf("Ingots of %s (%s poured)", p.Code, style.Mass(p.Mass))})
	}
	for _, l := range lines {
		value := chargeValue(l)
		if value == "" || slices.ContainsFunc(options, func(o views.Option) bool { return o.Value == value }) {
			continue
		}
		options = append(options, views.Option{Value: value, Label: nameOfCharge(l, names)})
	}
	return options, nil
}

// nameOfCharge calls what a line charged by its name.
func nameOfCharge(l melt.Line, names views.Names) string {
	switch {
	case l.Pour != 0:
		return "Ingots of " + string(names.Pours[l.Pour])
	case l.Lot != 0:
		return names.Sources[l.Source].Name + ", an earlier delivery"
	}
	return names.Sources[l.Source].Name
}

// chargeValue names what a charge line put in, as the form does.
func chargeValue(l melt.Line) string {
	switch {
	case l.Pour != 0:
		return fmt.Sprintf("pour-%d", l.Pour)
	case l.Lot != 0:
		return fmt.Sprintf("lot-%d-%d", l.Source, l.Lot)
	case l.Source != 0:
		return fmt.Sprintf("source-%d", l.Source)
	}
	return ""
}

// readCharge is the opposite of chargeValue; what it cannot read names nothing.
func readCharge(l *melt.Line, value string) {
	parts := strings.Split(value, "-")
	switch {
	case len(parts) == 2 && parts[0] == "source":
		l.Source = pathID(parts[1])
	case len(parts) == 2 && parts[0] == "pour":
		l.Pour = pathID(parts[1])
	case len(parts) == 3 && parts[0] == "lot":
		l.Source, l.Lot = pathID(parts[1]), pathID(parts[2])
	}
}

func add(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.write(w, r, v, 0)
}

func replace(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	of, err := a.lineOf(r)
	if err != nil {
		return err
	}
	return a.write(w, r, v, of)
}

// lineOf gives the number of the line that the address names: by that number,
// or by its key, which a phone knows before the line is stored.
func (a *app) lineOf(r *http.Request) (int64, error) {
	text := chi.URLParam(r, "line")
	if key, ok := strings.CutPrefix(text, "key-"); ok {
		return a.store.LineWithKey(r.Context(), codeOf(r), key)
	}
	return pathID(text), nil
}

// write writes the line in the form, in the place of another if of names one.
func (a *app) write(w http.ResponseWriter, r *http.Request, v visit, of int64) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	spec, ok := melt.SpecOf(melt.Kind(f.values.Get("kind")))
	if !ok {
		return errBadForm
	}
	key, err := f.key()
	if err != nil {
		return err
	}
	l := f.line(spec)
	l.Key = key
	if of != 0 {
		if err := a.keepMoment(r.Context(), codeOf(r), of, f, &l); err != nil {
			return err
		}
	}
	if f.ok() {
		err := a.save(r.Context(), v, codeOf(r), of, l, f)
		var refused melt.Refusals
		var gone *store.GoneError
		switch {
		case errors.As(err, &refused):
			f.refuse(refused)
		case errors.As(err, &gone):
			f.fault(gone.Field, "What was chosen is not there any more. Choose again.")
		case err != nil:
			return err
		default:
			return a.written(w, r, key)
		}
	}
	h, lines, err := a.store.Melt(r.Context(), codeOf(r))
	if err != nil {
		return err
	}
	if of != 0 && !slices.ContainsFunc(lines, func(l melt.Line) bool { return l.ID == of }) {
		return store.ErrNotFound
	}
	if wantsJSON(r) {
		return a.refused(w, f)
	}
	return a.showLineForm(w, r, v, http.StatusUnprocessableEntity, h, lines, spec, of, f)
}

// keepMoment gives a line the moment of the one whose place it takes, to the
// second, where the form has still the same minute.
func (a *app) keepMoment(ctx context.Context, code melt.Code, of int64, f *form, l *melt.Line) error {
	_, lines, err := a.store.Melt(ctx, code)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(lines, func(l melt.Line) bool { return l.ID == of })
	if i >= 0 && f.text("at_date") == f.style.DateInput(lines[i].At) && f.text("at_clock") == clockOf(lines[i], f.style) {
		l.At = lines[i].At
	}
	return nil
}

// written answers that the line with the key is stored.
func (a *app) written(w http.ResponseWriter, r *http.Request, key string) error {
	if wantsJSON(r) {
		return a.answerJSON(w, map[string]string{"key": key})
	}
	return seeOther(w, r, "/melts/"+string(codeOf(r))+"?done="+key)
}

func (a *app) save(ctx context.Context, v visit, code melt.Code, of int64, l melt.Line, f *form) error {
	if of == 0 {
		return a.store.AddLate(ctx, v.person.ID, code, l, f.tapped(v.now), f.on("sure"))
	}
	reason := f.note("reason")
	if reason == "" {
		reason = "written anew"
	}
	return a.store.Replace(ctx, v.person.ID, code, of, l, reason, f.on("sure"))
}

// line reads the parts that the kind of line has.
func (f *form) line(spec melt.Spec) melt.Line {
	l := melt.Line{Kind: spec.Kind, At: f.moment("at")}
	for _, p := range spec.Parts {
		f.part(p, &l)
	}
	if spec.Kind == melt.Checked {
		l.Count = new(len(f.values["tick"]))
	}
	return l
}

func (f *form) part(p melt.Part, l *melt.Line) {
	switch p {
	case melt.PartSource:
		readCharge(l, f.values.Get("source"))
	case melt.PartMass:
		f.mass(l)
	case melt.PartBasis:
		l.AsFound = f.values.Get("basis") == "found"
	case melt.PartHandling:
		l.Dry, l.Preheated, l.IntoHot = f.on("dry"), f.on("preheated"), f.on("into_hot")
	case melt.PartWhich:
		l.Which = f.values.Get("which")
	case melt.PartMould:
		l.Mould = f.text("mould")
	case melt.PartCount:
		if n := optional(f, "count", f.style.ReadCount); n != nil {
			l.Count = new(int(*n))
		}
	case melt.PartCost:
		l.Cost = optional(f, "cost", f.style.ReadMoney)
	case melt.PartMeter:
		l.Meter = optional(f, "meter", f.style.ReadEnergy)
	case melt.PartEnergy:
		l.Energy = optional(f, "energy", f.style.ReadEnergy)
	case melt.PartTemp:
		l.Temp = optional(f, "temp", f.style.ReadTemperature)
	case melt.PartProbe:
		l.Probe = f.id("probe")
	case melt.PartElectric:
		l.Volts = optional(f, "volts", f.style.ReadVoltage)
		l.Amps = optional(f, "amps", f.style.ReadCurrent)
		l.Watts = optional(f, "watts", f.style.ReadPower)
		l.Ohms = optional(f, "ohms", f.style.ReadResistance)
	case melt.PartKit:
		l.Crucible, l.Element = f.id("crucible"), f.id("element")
	case melt.PartNote:
		l.Note = f.note("note")
	}
}

// maxWeighings is how many weighings one line may have.
const maxWeighings = 50

// byEye is how far off a mass told by eye may be: a tenth, and never less than
// 50 g (METHODS: common practice, no source).
func byEye(m quantity.Mass) quantity.Mass { return max(m/10, 50*quantity.Gram) }

// mass reads the weighings of one mass. One without a scale and without a
// spread of the person's own is by eye.
func (f *form) mass(l *melt.Line) {
	for _, text := range f.values["mass"] {
		if strings.TrimSpace(text) == "" {
			continue
		}
		m, err := f.style.ReadMass(text)
		if err != nil {
			f.fault("mass", sentenceOf(err))
			continue
		}
		l.Gross = append(l.Gross, m)
	}
	if len(l.Gross) > maxWeighings {
		f.fault("mass", fmt.Sprintf("That is more than %d weighings. Write them as several charges.", maxWeighings))
		l.Gross = nil
	}
	if t := optional(f, "tare", f.style.ReadMass); t != nil {
		l.Tare = *t
	}
	l.Spread = optional(f, "spread", f.style.ReadMass)
	if len(l.Gross) == 0 {
		l.Tare, l.Spread = 0, nil
		return
	}
	l.Scale = f.id("scale")
	if l.Scale == 0 && l.Spread == nil {
		l.Spread = new(byEye(l.Mass()))
	}
}

// typed is a line as it would have been typed into the form.
func typed(l melt.Line, s quantity.Style) url.Values {
	v := url.Values{"at_date": {s.DateInput(l.At)}, "at_clock": {clockOf(l, s)}, "note": {l.Note}, "which": {l.Which}, "mould": {l.Mould}}
	if c := chargeValue(l); c != "" {
		v.Set("source", c)
	}
	for _, g := range l.Gross {
		v.Add("mass", s.MassInput(g))
	}
	if l.Tare != 0 {
		v.Set("tare", s.MassInput(l.Tare))
	}
	if l.Weighed() {
		v.Set("scale", strconv.FormatInt(l.Scale, 10))
	}
	for name, id := range map[string]int64{"probe": l.Probe, "crucible": l.Crucible, "element": l.Element} {
		if id != 0 {
			v.Set(name, strconv.FormatInt(id, 10))
		}
	}
	for name, on := range map[string]bool{"dry": l.Dry, "preheated": l.Preheated, "into_hot": l.IntoHot} {
		if on {
			v.Set(name, "1")
		}
	}
	if l.AsFound {
		v.Set("basis", "found")
	}
	put(v, "spread", l.Spread, s.MassInput)
	put(v, "count", l.Count, strconv.Itoa)
	put(v, "cost", l.Cost, s.MoneyInput)
	put(v, "meter", l.Meter, s.EnergyInput)
	put(v, "energy", l.Energy, s.EnergyInput)
	put(v, "temp", l.Temp, s.TemperatureInput)
	put(v, "volts", l.Volts, s.VoltageInput)
	put(v, "amps", l.Amps, s.CurrentInput)
	put(v, "watts", l.Watts, s.PowerInput)
	put(v, "ohms", l.Ohms, s.ResistanceInput)
	return v
}

// clockOf is a line's time of day as the form shows it, without the seconds.
func clockOf(l melt.Line, s quantity.Style) string { return s.ClockInput(l.At)[:len("15:04")] }

func put[T any](v url.Values, name string, x *T, show func(T) string) {
	if x != nil {
		v.Set(name, show(*x))
	}
}
