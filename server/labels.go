package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/server/label"
	"drosswise/store"
	"drosswise/views"
)

// How much the page of labels offers, and how many it makes at most.
const (
	meltsToLabel = 12
	lotsToLabel  = 2   // of each kind of scrap
	mostLabels   = 600 // 25 sheets of 24
)

// labelsPage shows labels for what the address names: ?of=melt-A26-041,
// kit-3, scrap-2 or lot-9, any number of times.
func labelsPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	ctx := r.Context()
	q := r.URL.Query()
	f := newForm(q, v.style)
	s := printing{form: f, app: a, visit: v, asked: q.Has("stock")}
	var err error
	if s.names, err = a.names(ctx, nil); err != nil {
		return err
	}
	s.readPaper(a.home(r))
	if err := s.readThings(ctx); err != nil {
		return err
	}
	page := views.Labels{Away: s.away, Near: near(s.at), Stock: s.stock.Name}
	if s.asked && len(s.labels) == 0 && len(s.away) == 0 && f.ok() {
		f.fault("codes", "Tick what the labels are for, or type a melt's code here.")
	}
	if len(s.labels)*s.copies > mostLabels {
		f.fault("copies", fmt.Sprintf("That makes %d labels. Print at most %d at a time.", len(s.labels)*s.copies, mostLabels))
	}
	if f.ok() {
		if page.Sheets, err = s.sheets(); err != nil {
			return err
		}
	}
	if page.Groups, err = s.groups(ctx); err != nil {
		return err
	}
	for _, one := range label.Stocks {
		page.Stocks = append(page.Stocks, views.Option{Value: one.Name, Label: one.Title, Selected: one.Name == s.stock.Name})
	}
	page.Values, page.Faults = f.values, f.faults
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, "Labels", "")))
}

// printing is a page of labels while it is being made.
type printing struct {
	*form
	app   *app
	visit visit
	names views.Names
	asked bool // the form was sent

	stock         label.Stock
	start, copies int
	at            string // the shop's address
	of            []string
	labels        []views.Label
	away          []string
}

// readPaper reads on what, how often and with which address is printed, and
// fills in what is usual.
func (s *printing) readPaper(home string) {
	for field, usual := range map[string]string{"stock": label.Stocks[0].Name, "start": "1", "copies": "1", "at": home} {
		if s.text(field) == "" {
			s.values.Set(field, usual)
		}
	}
	var ok bool
	if s.stock, ok = label.Named(s.text("stock")); !ok {
		s.stock = label.Stocks[0]
		s.fault("stock", "Choose one of these papers.")
	}
	if s.stock.Labels() == 1 {
		s.values.Set("start", "1")
	}
	s.start = s.count("start", s.stock.Labels(), fmt.Sprintf("This paper has %d labels. Type which is the first free one.", s.stock.Labels()))
	s.copies = s.count("copies", 100, "Type a number from 1 to 100.")
	if s.at, ok = shopAddress(s.text("at")); !ok {
		s.fault("at", "That is no address. Type it as phones open it, such as http://192.168.1.20:8372.")
	}
}

// count reads a number from 1 to most.
func (s *printing) count(field string, most int, sentence string) int {
	n, err := strconv.Atoi(s.text(field))
	if err != nil || n < 1 || n > most {
		s.fault(field, sentence)
		return 1
	}
	return n
}

// shopAddress reads the address of a shop as scheme and host. http may be left
// out; whatever follows the host is.
func shopAddress(text string) (at string, ok bool) {
	if !strings.Contains(text, "://") {
		text = "http://" + text
	}
	u, err := url.Parse(text)
	if err != nil || u.Host == "" || len(u.Host) > 100 || u.Scheme != "http" && u.Scheme != "https" || strings.ContainsAny(u.Host, " %<>\"'") {
		return "", false
	}
	return u.Scheme + "://" + u.Host, true
}

// near reports whether an address leads every machine to itself.
func near(at string) bool {
	u, err := url.Parse(at)
	if err != nil {
		return false
	}
	ip := net.ParseIP(u.Hostname())
	return u.Hostname() == "localhost" || ip != nil && (ip.IsLoopback() || ip.IsUnspecified())
}

// readThings makes the label of each thing that is asked for. What cannot have
// one is said.
func (s *printing) readThings(ctx context.Context) error {
	for _, of := range s.values["of"] {
		if slices.Contains(s.of, of) {
			continue
		}
		s.of = append(s.of, of)
		why, err := s.add(ctx, of)
		if err != nil {
			return err
		}
		if why != "" {
			s.away = append(s.away, why)
		}
	}
	for _, code := range strings.FieldsFunc(s.text("codes"), func(r rune) bool { return strings.ContainsRune(" ,;\n\t", r) }) {
		of := "melt-" + strings.ToUpper(code)
		if slices.Contains(s.of, of) {
			continue
		}
		s.of = append(s.of, of)
		why, err := s.add(ctx, of)
		if err != nil {
			return err
		}
		if why != "" {
			s.fault("codes", why)
		}
	}
	return nil
}

// add adds the label of one thing; why says that it can have none.
func (s *printing) add(ctx context.Context, of string) (why string, err error) {
	kind, name, _ := strings.Cut(of, "-")
	var l views.Label
	switch id := pathID(name); kind {
	case "melt":
		if l, why, err = s.melt(ctx, melt.Code(name)); err != nil || why != "" {
			return why, err
		}
	case "kit":
		it, ok := s.names.Kit[id]
		if !ok {
			return "A piece of kit that was asked for is not there any more.", nil
		}
		l = views.KitLabel(it, s.style)
	case "scrap":
		p, ok := s.names.Sources[id]
		if !ok {
			return "Scrap that was asked for is not there any more.", nil
		}
		l = views.SourceLabel(p, s.style)
	case "lot":
		lot, err := s.app.store.Lot(ctx, id)
		switch {
		case errors.Is(err, store.ErrNotFound):
			return "A delivery that was asked for is not there any more.", nil
		case err != nil:
			return "", err
		case lot.Strike != nil:
			return "The delivery of " + s.style.Date(lot.At) + " is struck. It has no label.", nil
		}
		l = views.LotLabel(lot, s.names.Sources[lot.Source], s.style)
	default:
		return "What was asked for has no label.", nil
	}
	s.labels = append(s.labels, l)
	return "", nil
}

// melt makes the label of a melt's ingots.
func (s *printing) melt(ctx context.Context, code melt.Code) (l views.Label, why string, err error) {
	h, lines, err := s.app.store.Melt(ctx, code)
	if errors.Is(err, store.ErrNotFound) {
		return l, fmt.Sprintf("There is no melt %.20s.", code), nil
	}
	if err != nil {
		return l, "", err
	}
	sh, err := s.app.store.Sheet(ctx, h.ID)
	if err != nil {
		return l, "", err
	}
	switch sh.State {
	case melt.Running:
		return l, string(code) + " is still running. Close it, then its ingots can have labels.", nil
	case melt.Voided:
		return l, string(code) + " was made void. It has no ingots.", nil
	}
	n := s.names
	for _, line := range lines {
		if line.Pour == 0 {
			continue
		}
		if n.Pours[line.Pour], err = s.app.store.CodeOf(ctx, line.Pour); err != nil {
			return l, "", err
		}
	}
	return views.MeltLabel(h, lines, sh, n, s.style), "", nil
}

// sheets draws the codes and lays the labels out.
func (s *printing) sheets() ([][]*views.Label, error) {
	for i := range s.labels {
		l := &s.labels[i]
		l.Address = s.at + l.Path
		var err error
		if l.Code, l.Side, err = label.Code(l.Address); err != nil {
			return nil, err
		}
	}
	var all [][]*views.Label
	for _, places := range s.stock.Lay(len(s.labels)*s.copies, s.start) {
		var sheet []*views.Label
		for _, n := range places {
			var l *views.Label
			if n >= 0 {
				l = &s.labels[n/s.copies]
			}
			sheet = append(sheet, l)
		}
		all = append(all, sheet)
	}
	return all, nil
}

// groups are the things that labels are offered for.
func (s *printing) groups(ctx context.Context) ([]views.LabelGroup, error) {
	option := func(of, words string) views.Option {
		return views.Option{Value: of, Label: words, Selected: slices.Contains(s.of, of)}
	}
	rows, _, err := s.app.store.Melts(ctx, store.Filter{}, store.Place{}, false, 2*meltsToLabel)
	if err != nil {
		return nil, err
	}
	var ingots, pots, bins, came []views.Option
	for _, row := range rows {
		if row.State == melt.Closed && len(ingots) < meltsToLabel {
			ingots = append(ingots, option("melt-"+string(row.Code), string(row.Code)+", "+s.style.Date(row.Started)))
		}
	}
	for _, it := range s.names.SortedKit() {
		if (it.Kind == kit.Crucible || it.Kind == kit.Element) && !it.Retired {
			pots = append(pots, option(fmt.Sprintf("kit-%d", it.ID), it.Kind.Name()+" "+it.Name))
		}
	}
	for _, p := range s.names.SortedSources() {
		if p.Ended == nil {
			bins = append(bins, option(fmt.Sprintf("scrap-%d", p.ID), p.Name))
		}
	}
	lots, err := s.app.store.OpenLots(ctx, lotsToLabel)
	if err != nil {
		return nil, err
	}
	for _, lot := range lots {
		came = append(came, option(fmt.Sprintf("lot-%d", lot.ID), s.names.Sources[lot.Source].Name+", delivery of "+s.style.Date(lot.At)))
	}
	return []views.LabelGroup{
		{Title: "Ingots of the last closed melts", Options: ingots}, {Title: "Crucibles and element sets", Options: pots},
		{Title: "Scrap bins", Options: bins}, {Title: "Deliveries with something left", Options: came},
	}, nil
}
