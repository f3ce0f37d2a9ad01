package main

import "net/http"

// role is what a person may do. Each role may do what the ones before it may.
type role int

// The roles, weakest first.
const (
	anyone role = iota // signed in or not
	reader             // looks
	melter             // logs
	owner              // sets up, and lets people in
)

// roleOf reads a stored role.
func roleOf(name string) role {
	return map[string]role{"reader": reader, "melter": melter, "owner": owner}[name]
}

// route is one address: how it is asked, who may ask, and what answers.
type route struct {
	method  string
	pattern string
	least   role
	handle  handler
}

// handler answers a request or says why it cannot.
type handler func(a *app, w http.ResponseWriter, r *http.Request, v visit) error

const (
	get  = http.MethodGet
	post = http.MethodPost
)

// routes are all addresses of the shop but the health check and static files;
// those for programs are listed by subject in operations*.go.
func (a *app) routes() []route {
	return append([]route{
		{get, "/setup/{token}", anyone, setupPage},
		{post, "/setup/{token}", anyone, setup},
		{get, "/join/{token}", anyone, joinPage},
		{post, "/join/{token}", anyone, join},
		{get, "/signin", anyone, signinPage},
		{post, "/signin", anyone, signin},
		{post, "/signout", anyone, signout},

		{get, "/offline", anyone, offlinePage},
		{get, "/trust", anyone, trustPage},
		{get, "/trust/drosswise-ca.crt", anyone, trustFile},

		{get, "/", reader, today},

		{get, "/account", reader, accountPage},
		{post, "/account/theme", reader, setTheme},
		{post, "/account/thumb", reader, setThumb},
		{post, "/account/password", reader, setPassword},
		{post, "/account/signins/{id}/end", reader, endSignin},
		{post, "/account/calendar", reader, makeCalendar},
		{post, "/account/calendar/end", reader, endCalendar},
		{get, "/account/tokens", reader, tokensPage},
		{post, "/account/tokens", reader, makeToken},
		{post, "/account/tokens/{id}/end", reader, endToken},
		{get, "/due/{token}.ics", anyone, calendar},

		{get, "/melts", reader, melts},
		{get, "/melts/start", melter, startPage},
		{post, "/melts", melter, start},
		{get, "/melts/paper", melter, paperPage},
		{post, "/melts/paper", melter, paper},
		{get, "/melts/old", melter, oldNotesPage},
		{post, "/melts/old", melter, sendOldNotes},
		{get, "/melts/old/{key}", melter, oldMatchPage},
		{post, "/melts/old/{key}", melter, matchOldNotes},
		{get, "/melts/old/imports/{id}", melter, oldImportPage},
		{post, "/melts/old/imports/{id}/strike", melter, strikeOldImport},
		{get, "/melts/{code}", reader, meltPage},
		{get, "/melts/{code}/live", reader, live},
		{get, "/melts/{code}/forms", melter, formsPage},
		{get, "/melts/{code}/add/{kind}", melter, addPage},
		{post, "/melts/{code}/lines", melter, add},
		{get, "/melts/{code}/lines/{line}", melter, linePage},
		{post, "/melts/{code}/lines/{line}/replace", melter, replace},
		{post, "/melts/{code}/lines/{line}/strike", melter, strike},
		{post, "/melts/{code}/lines/{line}/lift", melter, lift},

		{get, "/melts/{code}/readings", melter, logFilesPage},
		{post, "/melts/{code}/readings", melter, sendLogFile},
		{get, "/melts/{code}/readings/{key}", melter, logMatchPage},
		{post, "/melts/{code}/readings/{key}", melter, matchLogFile},
		{post, "/melts/{code}/series/{id}/strike", melter, strikeSeries},
		{post, "/melts/{code}/series/{id}/lift", melter, liftSeries},

		{get, "/melts/{code}/lines/{line}/photos", reader, linePhotosPage},
		{post, "/melts/{code}/lines/{line}/photos", melter, addLinePhoto},

		{post, "/photos/{id}/strike", melter, strikePhoto},
		{post, "/photos/{id}/lift", melter, liftPhoto},

		{get, "/scrap", reader, scrapPage},
		{get, "/scrap/new", melter, newSourcePage},
		{post, "/scrap", melter, newSource},
		{get, "/scrap/compare", reader, comparePage},
		{get, "/scrap/prices", melter, ingotPricePage},
		{post, "/scrap/prices", melter, newIngotPrice},
		{post, "/scrap/prices/{price}/strike", melter, strikePrice},
		{post, "/scrap/prices/{price}/lift", melter, liftPrice},
		{get, "/scrap/{id}", reader, sourcePage},
		{get, "/scrap/{id}/edit", melter, editSourcePage},
		{post, "/scrap/{id}", melter, editSource},
		{get, "/scrap/{id}/belief", melter, beliefPage},
		{post, "/scrap/{id}/belief", melter, believe},
		{get, "/scrap/{id}/prices", melter, sourcePricePage},
		{post, "/scrap/{id}/prices", melter, newSourcePrice},
		{get, "/scrap/{id}/lots/new", melter, newLotPage},
		{post, "/scrap/{id}/lots", melter, newLot},
		{post, "/scrap/{id}/lots/{lot}/strike", melter, strikeLot},
		{post, "/scrap/{id}/lots/{lot}/lift", melter, liftLot},
		{get, "/scrap/{id}/lots/{lot}/photos", reader, lotPhotosPage},
		{post, "/scrap/{id}/lots/{lot}/photos", melter, addLotPhoto},

		{get, "/findings", reader, findingsPage},
		{get, "/labels", reader, labelsPage},
		{get, "/years/{year}", reader, yearPage},

		{get, "/kit", reader, kitPage},
		{get, "/kit/bench", reader, benchPage},
		{get, "/kit/new/{kind}", melter, newKitPage},
		{post, "/kit", melter, newKit},
		{get, "/kit/{id}", reader, kitItemPage},
		{get, "/kit/{id}/edit", melter, editKitPage},
		{post, "/kit/{id}", melter, editKit},
		{get, "/kit/{id}/add/{kind}", melter, addKitLinePage},
		{post, "/kit/{id}/lines", melter, addKitLine},
		{post, "/kit/{id}/lines/{line}/strike", melter, strikeKitLine},
		{post, "/kit/{id}/lines/{line}/lift", melter, liftKitLine},
		{get, "/kit/{id}/lines/{line}/photos", reader, kitPhotosPage},
		{post, "/kit/{id}/lines/{line}/photos", melter, addKitPhoto},
		{post, "/kit/{id}/alarms/{code}/{how}", melter, closeAlarm},

		{get, "/shop", reader, shopPage},
		{get, "/shop/edit", owner, editShopPage},
		{post, "/shop", owner, editShop},
		{get, "/shop/tariffs/new", owner, newTariffPage},
		{post, "/shop/tariffs", owner, newTariff},
		{post, "/shop/tariffs/{id}/strike", owner, strikeTariff},
		{get, "/shop/copies", owner, copiesPage},
		{post, "/shop/copies", owner, makeCopy},
		{get, "/shop/copies/{name}", owner, copyFile},
		{get, "/shop/export.zip", owner, exportZip},
		{get, "/shop/due", owner, dueRulesPage},
		{post, "/shop/due", owner, setDueRules},
		{post, "/shop/people", owner, invite},
		{post, "/shop/links/end", owner, endLinks},
		{get, "/shop/people/{id}", owner, personPage},
		{post, "/shop/people/{id}/role", owner, setRole},
		{post, "/shop/people/{id}/end", owner, endPerson},
		{post, "/shop/people/{id}/reset", owner, resetPerson},

		{get, "/api/v1/openapi.json", anyone, openAPI},
	}, a.api.routes...)
}
