// The pages' own number pad, on touch screens: large keys, comma and point, and
// the form's own button at hand. The cursor stays in the field, so that a
// keyboard that is plugged in types there as ever.
"use strict";
(() => {
	if (!("pad" in document.body.dataset) || !matchMedia("(pointer: coarse)").matches) return;
	const {el} = Outbox;
	let at = null, send = null; // the field that is typed into, and its form's button
	const numbers = () => Shop.all(".number .input", at.form).filter((input) => input.checkVisibility());
	const put = (text, before = 0) => {
		const [from, to] = [at.selectionStart, at.selectionEnd];
		at.setRangeText(text, from === to ? Math.max(0, from - before) : from, to, "end");
		at.dispatchEvent(new Event("input", {bubbles: true}));
	};
	const key = (label, act, more = {}) => el("button", {type: "button", className: "btn", textContent: label, onclick: act, ...more});
	const next = () => { const all = numbers(); (all[all.indexOf(at) + 1] || all[0]).focus(); };
	// letters gives the field to the phone's keyboard, until it is left.
	const letters = () => {
		const field = at;
		hide();
		field.blur();
		field.inputMode = "text";
		field.focus();
	};
	const go = key("", () => { const [form, button] = [at.form, send]; hide(); form.requestSubmit(button); }, {className: "btn main"});
	const pad = el("div", {className: "number-pad", role: "region", ariaLabel: "Number pad", hidden: true},
		...["1", "2", "3"].map((d) => key(d, () => put(d))), key("\u232b", () => put("", 1), {ariaLabel: "Delete"}),
		...["4", "5", "6"].map((d) => key(d, () => put(d))), key("Next", next),
		...["7", "8", "9"].map((d) => key(d, () => put(d))), key("Letters", letters),
		key(",", () => put(","), {ariaLabel: "Comma"}), key("0", () => put("0")), key(".", () => put("."), {ariaLabel: "Point"}), key("Close", () => hide()),
		go);
	pad.addEventListener("pointerdown", (event) => event.preventDefault()); // the cursor stays where it is
	document.body.append(pad);

	const hide = () => {
		if (at) at.inputMode = "decimal";
		at = null;
		pad.hidden = true;
	};
	const show = (input) => {
		if (input.inputMode === "text") return;
		if (at && at !== input) at.inputMode = "decimal";
		at = input;
		at.inputMode = "none";
		send = at.form.querySelector(".btn.main[type=submit], [type=submit]");
		go.hidden = !send;
		go.textContent = send?.innerText;
		document.body.classList.add("padded"); // room to scroll, which stays, so that nothing jumps
		pad.hidden = false;
		at.scrollIntoView({block: "nearest"});
	};
	const look = (target) => {
		if (target.matches(".number .input")) show(target);
		else if (at && !pad.contains(target)) hide();
	};
	document.addEventListener("focusin", (event) => look(event.target));
	document.addEventListener("click", (event) => { if (event.target === document.activeElement) look(event.target); }); // closed, and touched again
	document.addEventListener("focusout", ({target, relatedTarget}) => {
		if (target.inputMode === "text") target.inputMode = "decimal";
		if (target === at && document.hasFocus() && !relatedTarget) hide();
	});
	look(document.activeElement);
})();
