package main

import (
	"context"
	"errors"
	"fmt"
	"net/http"

	"drosswise/foundry/quantity"
	"drosswise/server/api"
	"drosswise/store"
)

// shopOperations are what programs do with the shop's settings and people.
var shopOperations = []offered{
	offer(operation{method: get, path: "/api/v1/me", id: "get-me", least: reader, tag: "shop", summary: "Who asks, and how far the token reaches."}, me),
	offer(operation{method: get, path: "/api/v1/shop", id: "get-shop", least: reader, tag: "shop", summary: "The shop's settings."}, getShop),
	offer(operation{method: http.MethodPut, path: "/api/v1/shop", id: "set-shop", least: owner, tag: "shop", summary: "Set the shop up anew."}, setShop),
	offer(operation{method: get, path: "/api/v1/tariffs", id: "list-tariffs", least: reader, tag: "shop", summary: "Prices of electricity."}, listTariffs),
	offer(operation{method: post, path: "/api/v1/tariffs", id: "add-tariff", least: owner, tag: "shop", summary: "Add a price of electricity.", status: http.StatusCreated}, addTariff),
	offer(operation{method: post, path: "/api/v1/tariffs/{id}/strike", id: "strike-tariff", least: owner, tag: "shop", summary: "Strike a price of electricity."}, func(a *app, ctx context.Context, v visit, in *api.Numbered) (api.Done, error) {
		return api.Done{Done: true}, a.store.StrikeTariff(ctx, v.person.ID, in.ID)
	}),
	offer(operation{method: get, path: "/api/v1/copies", id: "list-copies", least: owner, tag: "shop", summary: "Copies of the whole shop in the folder of copies, the newest first."}, listCopies),
	offer(operation{method: post, path: "/api/v1/copies", id: "make-copy", least: owner, tag: "shop", summary: "Make a copy of the whole shop now."}, makeCopyNow),
	offer(operation{method: get, path: "/api/v1/people", id: "list-people", least: reader, tag: "shop", summary: "Everybody who has or had an account."}, tellPeople),
	offer(operation{method: post, path: "/api/v1/people/links", id: "invite", least: owner, tag: "shop", summary: "Make a link for somebody new.", status: http.StatusCreated}, invitePerson),
	offer(operation{method: post, path: "/api/v1/people/links/end", id: "end-links", least: owner, tag: "shop", summary: "End all links that nobody has used."}, func(a *app, ctx context.Context, v visit, _ *struct{}) (api.Done, error) {
		return api.Done{Done: true}, a.store.EndLinks(ctx)
	}),
	offer(operation{method: http.MethodPut, path: "/api/v1/people/{id}/role", id: "set-role", least: owner, tag: "shop", summary: "Give a person a role."}, changeRole),
	offer(operation{method: post, path: "/api/v1/people/{id}/end", id: "end-person", least: owner, tag: "shop", summary: "End a person's account."}, func(a *app, ctx context.Context, v visit, in *api.Numbered) (api.Done, error) {
		return api.Done{Done: true}, lastOwnerTold(a.store.EndPerson(ctx, v.person.ID, in.ID))
	}),
	offer(operation{method: post, path: "/api/v1/people/{id}/link", id: "reset-person", least: owner, tag: "shop", summary: "Make a link with which a person sets a new password, or comes back.", status: http.StatusCreated}, linkForPerson),
}

func me(a *app, ctx context.Context, v visit, _ *struct{}) (api.Me, error) {
	return api.Me{Person: tellPerson(v.person), Scope: string(v.scope)}, nil
}

func tellPerson(p store.Person) api.Person {
	told := api.Person{ID: p.ID, Name: p.Name, Role: api.Role(p.Role), Since: p.Since.Time().UTC()}
	if p.Ended != nil {
		told.Ended = new(p.Ended.Time().UTC())
	}
	return told
}

func getShop(a *app, ctx context.Context, v visit, _ *struct{}) (api.Shop, error) {
	return tellShop(v.shop), nil
}

func tellShop(p store.Shop) api.Shop {
	told := api.Shop{Name: p.Name, Zone: p.Zone, MassUnit: p.MassUnit, Degrees: "C", Mark: "point", Currency: p.Currency, Ambient: new(p.Ambient.Celsius()), Points: new(p.Points)}
	if p.Fahrenheit {
		told.Degrees = "F"
	}
	if p.Comma {
		told.Mark = "comma"
	}
	return told
}

func setShop(a *app, ctx context.Context, v visit, in *struct{ Body api.ShopChange }) (told api.Shop, err error) {
	f := bodyForm(v, in.Body)
	if in.Body.Points != nil {
		f.values.Set("points", *in.Body.Points)
	}
	p := f.shop(v.shop)
	f.otherCurrency(p, v.shop)
	if err := f.wrong(in.Body); err != nil {
		return told, err
	}
	return tellShop(p), a.store.SetShop(ctx, v.person.ID, p)
}

// tariffs are prices of electricity.
type tariffs struct {
	Tariffs []api.ListedTariff `json:"tariffs" nullable:"false"`
}

func listTariffs(a *app, ctx context.Context, v visit, _ *struct{}) (told tariffs, err error) {
	told.Tariffs = []api.ListedTariff{}
	all, err := a.store.Tariffs(ctx)
	for _, t := range all {
		told.Tariffs = append(told.Tariffs, tellTariff(t, v.style))
	}
	return told, err
}

func tellTariff(t store.Tariff, s quantity.Style) api.ListedTariff {
	told := api.ListedTariff{ID: t.ID, Tariff: api.Tariff{From: s.DateInput(t.From), Price: t.Price.Units()}}
	clock := func(minute int) string { return fmt.Sprintf("%02d:%02d", minute/60, minute%60) }
	for _, b := range t.Bands {
		told.Bands = append(told.Bands, api.Band{From: clock(b.FromMinute), To: clock(b.ToMinute), Price: b.Price.Units()})
	}
	return told
}

func addTariff(a *app, ctx context.Context, v visit, in *api.Once[api.Tariff]) (told api.ListedTariff, err error) {
	f := keyedForm(v, in.Key, in.Body)
	for i, b := range in.Body.Bands {
		name := fmt.Sprintf("band%d_", i+1)
		f.values.Set(name+"from", b.From)
		f.values.Set(name+"to", b.To)
		f.values.Set(name+"price", api.Number(b.Price))
	}
	t, err := f.tariff()
	if err == nil {
		err = f.wrong(in.Body)
	}
	if err == nil {
		err = a.store.AddTariff(ctx, v.person.ID, t)
	}
	if err != nil {
		return told, err
	}
	all, err := a.store.Tariffs(ctx)
	for _, had := range all {
		if had.Key == t.Key {
			told = tellTariff(had, v.style)
		}
	}
	return told, err
}

// people are those who have or had an account.
type people struct {
	People []api.Person `json:"people" nullable:"false"`
	Links  int          `json:"open_links" doc:"Links that somebody could still use."`
}

func tellPeople(a *app, ctx context.Context, v visit, _ *struct{}) (told people, err error) {
	told.People = []api.Person{}
	all, err := a.store.People(ctx)
	for _, p := range all {
		told.People = append(told.People, tellPerson(p))
	}
	if err != nil {
		return told, err
	}
	told.Links, err = a.store.OpenLinks(ctx)
	return told, err
}

func invitePerson(a *app, ctx context.Context, v visit, in *struct{ Body api.RoleChange }) (api.Link, error) {
	token, expires, err := a.store.Invite(ctx, v.person.ID, string(in.Body.Role))
	return api.Link{Link: "/join/" + token, Expires: expires.Time().UTC()}, err
}

func linkForPerson(a *app, ctx context.Context, v visit, in *api.Numbered) (api.Link, error) {
	token, expires, err := a.store.ResetLink(ctx, v.person.ID, in.ID)
	return api.Link{Link: "/join/" + token, Expires: expires.Time().UTC()}, err
}

func changeRole(a *app, ctx context.Context, v visit, in *struct {
	api.Numbered
	Body api.RoleChange
}) (told api.Person, err error) {
	if err := lastOwnerTold(a.store.SetRole(ctx, v.person.ID, in.ID, string(in.Body.Role))); err != nil {
		return told, err
	}
	p, err := a.store.Person(ctx, in.ID)
	return tellPerson(p), err
}

// lastOwnerTold tells a program that a shop needs an owner.
func lastOwnerTold(err error) error {
	if errors.Is(err, store.ErrLastOwner) {
		return &api.Problem{Type: "about:blank", Title: notWritten, Status: http.StatusUnprocessableEntity, Detail: lastOwner}
	}
	return err
}
