// The service worker: where the shop does not answer it opens the start page, the
// lists and the running melts as they were seen last. It adds nothing to what
// is sent. FILES, from the server, are all that pages load; with them this
// script is another for every version. See DEVELOPERS.md.
"use strict";
const name = "pages " + FILES.join(" ");
const offline = "/offline";
const whose = "/whose"; // where the cache keeps who the pages were made for
const forms = /^\/melts\/[^/]+\/forms$/;
const melt = /^\/melts\/[A-Z][^/]*/;
const lists = ["/", "/melts", "/scrap", "/kit"];
const page = (url) => lists.includes(url.pathname) && !url.search || forms.test(url.pathname) || melt.exec(url.pathname)?.[0] === url.pathname;
const file = /\/static\/[0-9a-f]{12}\/[\w.-]+/g;

// forget clears the pages, not the files, which are the same for everybody.
const forget = async (cache, who) => {
	for (const request of await cache.keys()) {
		const path = new URL(request.url).pathname;
		if (!path.startsWith("/static/") && path !== offline) await cache.delete(request);
	}
	await cache.put(whose, new Response(who));
};

// keep stores a page for the person it was made for, after the files it needs,
// so that a page never opens with the files of another version.
const keep = async (url, response, cache) => {
	const who = response.headers.get("Drosswise-Person");
	if (who === null) return;
	if (who !== await (await cache.match(whose))?.text()) await forget(cache, who);
	if (!page(url) || !who) return;
	const text = await response.text();
	if (!response.ok || melt.test(url.pathname) && !forms.test(url.pathname) && !text.includes("data-melt=")) {
		await cache.delete(url.pathname);
		return;
	}
	for (const needed of new Set(text.match(file))) if (!await cache.match(needed)) await cache.add(needed);
	const kept = text.replace("<html", `<html data-kept="${Date.now()}"`);
	await cache.put(url.pathname, new Response(kept, {headers: {"Content-Type": "text/html; charset=utf-8", "Drosswise-Person": who}}));
};

// kept gives the page for an address, or the one it can be opened in.
const kept = async (url) => {
	const cache = await caches.open(name);
	const own = page(url) ? url.pathname : melt.exec(url.pathname)?.[0];
	return own && await cache.match(own) || cache.match(offline);
};

const wait = (ms) => new Promise((done) => setTimeout(done, ms));
const open = async (event, url) => {
	const asked = fetch(event.request);
	event.waitUntil(asked.then(async (response) => {
		if (response.type === "basic" && !response.redirected) await keep(url, response.clone(), await caches.open(name));
	}).catch(() => {}));
	const slow = wait(4000).then(() => event.request.mode === "navigate" ? kept(url) : null);
	try {
		return await Promise.race([asked, slow]) || await asked;
	} catch (error) {
		if (event.request.mode !== "navigate" && !forms.test(url.pathname)) throw error;
		return kept(url);
	}
};

self.addEventListener("fetch", (event) => {
	const url = new URL(event.request.url);
	if (url.origin !== location.origin) return;
	if (event.request.method === "POST" && ["/signin", "/signout"].includes(url.pathname)) {
		event.waitUntil(caches.open(name).then((cache) => forget(cache, "")));
	}
	if (event.request.method !== "GET") return;
	if (url.pathname.startsWith("/static/")) event.respondWith(caches.match(event.request).then((had) => had || fetch(event.request)));
	else if (event.request.mode === "navigate" || page(url)) event.respondWith(open(event, url));
});

// A new version first fetches anew what the old one keeps, then takes its place;
// without an answer the old one stays, whole.
const install = async () => {
	const cache = await caches.open(name);
	await cache.addAll([...FILES, new Request(offline, {credentials: "omit"})]);
	for (const old of await caches.keys()) {
		if (old === name) continue;
		const was = await caches.open(old), who = await (await was.match(whose))?.text();
		for (const request of await was.keys()) {
			const url = new URL(request.url);
			if (page(url)) await keep(url, await fetch(url, {headers: {"Drosswise-Person": who}, redirect: "error"}), cache);
		}
	}
	await self.skipWaiting();
};
self.addEventListener("install", (event) => event.waitUntil(install().catch(async (error) => {
	await caches.delete(name);
	throw error;
})));
self.addEventListener("activate", (event) => event.waitUntil((async () => {
	for (const old of await caches.keys()) if (old !== name) await caches.delete(old);
	await self.clients.claim();
})()));
