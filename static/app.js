// What the script adds to pages that work without it: keys made by the phone,
// no double sending, a clock that goes, and the sum of several weighings.
"use strict";
const Shop = (() => {
	const all = (what, within = document) => [...within.querySelectorAll(what)];

	// A key of 128 random bits. getRandomValues also works on plain http, where
	// randomUUID does not.
	const key = () => {
		const bytes = crypto.getRandomValues(new Uint8Array(16));
		return [...bytes].map((b) => b.toString(16).padStart(2, "0")).join("");
	};
	const freshKeys = (within) => all("input[data-key]", within).forEach((input) => { input.value = key(); });

	// A melt is timed by the shop's clock: the phone's, set right by the skew
	// that the outbox measures.
	const shop = {all, key, skew: 0};
	const tick = () => all("time[data-since]").forEach((el) => {
		const minutes = Math.max(0, Math.floor((Date.now() + shop.skew - Number(el.dataset.since)) / 60000));
		const text = Math.floor(minutes / 60) + ":" + String(minutes % 60).padStart(2, "0");
		if (el.textContent !== text) el.textContent = text;
	});

	// A form is sent once. Its buttons are switched off only after the browser
	// has read them, so that the name and value of the one pressed are sent;
	// they come back in time for a second try, whose key makes it harmless.
	const setSent = (form, sent) => {
		if (sent) form.dataset.sent = ""; else delete form.dataset.sent;
		for (const el of form.elements) {
			if (el.type !== "submit") continue;
			if (sent && !el.disabled) { el.disabled = true; el.dataset.off = ""; }
			if (!sent && "off" in el.dataset) { el.disabled = false; delete el.dataset.off; }
		}
	};
	document.addEventListener("submit", (event) => {
		const form = event.target;
		if (form.method !== "post") return;
		if ("sent" in form.dataset) { event.preventDefault(); return; }
		form.dataset.sent = "";
		setTimeout(() => { if (event.defaultPrevented) setSent(form, false); else setSent(form, true); });
		setTimeout(() => setSent(form, false), 10000);
	});

	// A typed number with a decimal point, read as the server reads it: of comma
	// and point the last is the decimal mark, one that repeats groups thousands.
	// null when it is not a number.
	const read = (text, unit) => {
		let t = text.trim().toLowerCase();
		const u = unit.toLowerCase();
		if (u && t.endsWith(u)) t = t.slice(0, -u.length);
		t = t.trim().replace(/\s/g, " ").replace(/[\u2019\u02bc]/g, "'");
		const at = Math.max(t.lastIndexOf(","), t.lastIndexOf("."));
		const once = at >= 0 && t.indexOf(t[at]) === at;
		const whole = once ? t.slice(0, at) : t;
		const part = once ? t.slice(at + 1) : "";
		const digits = whole.replace(/[ ',.]/g, "");
		if (!/^(\d*|[1-9]\d{0,2}([ ',.])\d{3}(\2\d{3})*)$/.test(whole)) return null;
		if ((once && !/^\d+$/.test(part)) || !(digits + part)) return null;
		return (digits || "0") + (part && "." + part);
	};

	const sum = (box) => {
		const unit = box.dataset.weighings;
		const typed = all(".goes input", box).map((el) => el.value).filter((v) => v.trim());
		const tareField = all("input", box).find((el) => !el.closest(".goes, .without-script"));
		const tareText = tareField ? tareField.value : "";
		const numbers = typed.map((v) => read(v, unit));
		const tare = tareText.trim() ? read(tareText, unit) : "0";
		const out = box.querySelector("output");
		if (!numbers.length || numbers.includes(null) || tare === null || (numbers.length < 2 && !Number(tare))) {
			out.textContent = "";
			return;
		}
		const decimals = Math.max(...[...numbers, tare].map((n) => (n.split(".")[1] || "").length));
		const net = numbers.reduce((s, n) => s + Number(n) - Number(tare), 0);
		const mark = "comma" in box.dataset ? "," : ".";
		const shown = Math.abs(net).toFixed(decimals).replace(".", mark);
		out.textContent = (numbers.length > 1 ? numbers.length + " weighings" : "One weighing") +
			(Number(tare) ? ", each less the container: " : ": ") + (net < 0 ? "\u2212" : "") + shown + " " + unit;
	};

	const addWeighing = (box) => {
		const goes = box.querySelector(".goes");
		const first = goes.querySelector(".field");
		const copy = first.cloneNode(true);
		const n = goes.children.length + 1;
		all(".hint, .error, .needed", copy).forEach((el) => el.remove());
		const input = copy.querySelector("input");
		const id = input.id + "-" + n;
		const unit = copy.querySelector(".unit");
		["aria-describedby", "aria-invalid", "autofocus", "required"].forEach((a) => input.removeAttribute(a));
		input.id = id;
		input.value = "";
		if (unit) { unit.id = id + "-unit"; input.setAttribute("aria-describedby", unit.id); }
		const label = copy.querySelector("label");
		label.htmlFor = id;
		label.textContent = label.textContent.trim() + " " + n;
		goes.append(copy);
		input.focus();
	};

	document.addEventListener("click", (event) => {
		const button = event.target.closest("[data-add]");
		if (button) addWeighing(button.closest("[data-weighings]"));
	});
	document.addEventListener("input", (event) => {
		if (back && event.target.form) freshKeys(event.target.form);
		const box = event.target.closest("[data-weighings]");
		if (box) sum(box);
	});

	// pageshow comes after every load, and when the page is taken back out of
	// the browser's memory. There a page to read shows what was, so it is loaded
	// anew. A form still holds what was sent and the key it was sent with: sent
	// again as it is it stays one line, and once it is changed it is another.
	let back = false;
	addEventListener("pageshow", (event) => {
		back = event.persisted;
		if (back && !document.querySelector("main .input")) { location.reload(); return; }
		if (!back) freshKeys();
		all("form[data-sent]").forEach((form) => setSent(form, false));
		all("[data-weighings]").forEach(sum);
		tick();
	});
	setInterval(tick, 1000);

	// What was sent and not taken stands at the address it was sent from, so that
	// coming back to it asks nobody whether to send it once more.
	if ("posted" in document.body.dataset && document.referrer.startsWith(location.origin + "/")) history.replaceState(null, "", document.referrer);

	const faults = document.getElementById("faults");
	if (faults) faults.focus();
	return Object.assign(shop, {freshKeys, read, sum, setSent, tick});
})();
