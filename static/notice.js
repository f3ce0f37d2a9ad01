// What the outbox says and does on every page: the notice at the thumb, the forms
// of lines that stand on a page of their own, and the service worker.
"use strict";
(() => {
	const box = Outbox, {me, el} = box;

	// notice says at the thumb what is kept here.
	const notice = (mine, others) => {
		const refused = mine.filter((e) => e.refused), waiting = mine.length - refused.length;
		const here = document.querySelector("[data-melt]")?.dataset.melt;
		const elsewhere = refused.find((e) => e.melt && e.melt !== here);
		const lost = refused.find((e) => !e.melt); // a photo of kit or of a delivery
		const says = [];
		let act = "";
		if (waiting && box.signin) {
			says.push("Your sign-in ran out. " + box.count(waiting) + " kept here, not sent: sign in again and they go out.");
			act = el("a", {className: "btn", href: "/signin?next=" + encodeURIComponent(location.pathname), textContent: "Sign in"});
		} else if (waiting && (box.down || box.said)) {
			says.push((box.said || "No answer from the shop.") + " " + box.count(waiting) + " kept here, not sent.");
			act = el("button", {className: "btn", type: "button", textContent: "Send now", onclick: box.hurry});
		}
		const seen = Number(document.documentElement.dataset.kept);
		if (!says.length && (seen || box.unsure && box.down)) says.push("No answer from the shop.");
		if (box.unsure && box.down) says.push("This page stays open, so that you can go on logging.");
		if (seen) says.push("This page is as it was at " + new Date(seen).toLocaleTimeString([], {hour: "2-digit", minute: "2-digit"}) + ".");
		if (elsewhere) {
			says.push(box.count(refused.filter((e) => e.melt && e.melt !== here).length) + " not taken, see melt " + elsewhere.melt + ".");
			act ||= el("a", {className: "btn", href: "/melts/" + elsewhere.melt, textContent: elsewhere.melt});
		}
		if (lost) {
			says.push("A photo was not taken. " + lost.refused.said);
			act ||= el("button", {className: "btn", type: "button", textContent: "Throw it away", onclick: async () => box.drop(...(await box.all()).filter((e) => e.refused && !e.melt).map((e) => e.id))});
		}
		if (others) says.push(box.count(others) + (me ? " of somebody else" : "") + " kept on this phone, not sent. Whoever logged them signs in here, and they go out.");
		let strip = document.querySelector(".strip");
		let place = strip?.querySelector(".unsent");
		const text = says.join(" ");
		if (!text) {
			place?.remove();
			if (strip && !strip.children.length) strip.remove();
			return;
		}
		if (!strip) document.body.append(strip = el("section", {className: "strip", ariaLabel: "At hand"}));
		if (!place) strip.prepend(place = el("div", {className: "flash unsent"}, el("p", {role: "status"})));
		if (place.firstChild.textContent !== text) place.firstChild.textContent = text;
		if (place.dataset.act !== (act && act.textContent)) {
			place.dataset.act = act && act.textContent;
			place.replaceChildren(place.firstChild, act);
		}
	};
	box.watch(notice);

	// A form for a melt's line on a page of its own: kept first, then sent. A
	// refused one goes to the server as a form, which shows what is wrong.
	document.addEventListener("submit", async (event) => {
		const form = event.target;
		if (!box.ready || event.defaultPrevented || document.querySelector("[data-melt][data-may]") || !box.forms.test(new URL(form.action).pathname)) return;
		event.preventDefault();
		const entry = box.entry(form);
		let id;
		try {
			id = await box.put(entry);
		} catch {
			form.submit(); // the phone cannot keep it: as without script
			return;
		}
		Shop.setSent(form, true);
		const end = await box.settled(id, 8500);
		const page = "/melts/" + entry.melt;
		if (end === "sent") {
			location.assign(page + "?done=" + box.sent.get(id));
		} else if (end === "refused") {
			await box.drop(id);
			form.submit();
		} else {
			form.replaceWith(el("p", {className: "pad words"}, "Kept here, not sent. It goes out by itself when the shop answers. ", el("a", {href: page, textContent: "Go back to " + entry.melt})));
		}
	});

	// On https or the machine itself the service worker opens pages without the
	// shop. It sees what the browser loads; Today shows it what runs as well. A
	// body that nobody reads would hold up the next version of the worker.
	const worker = navigator.serviceWorker;
	const warm = (...paths) => {
		if (!worker.controller || document.documentElement.dataset.kept) return;
		if (location.pathname === "/") paths.push("/melts", ...Shop.all(".running a", document).flatMap((a) => [a.pathname, a.pathname + "/forms"]));
		for (const path of paths) fetch(path, {headers: {"Drosswise-Person": me}, redirect: "manual"}).then((r) => r.text()).catch(() => {});
	};
	if (worker && me) {
		worker.register("/sw.js").then(() => warm(), () => {});
		worker.addEventListener("controllerchange", () => warm(location.pathname));
	}
})();
