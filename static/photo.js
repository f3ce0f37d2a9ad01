// Photos: made small in the phone, then kept and sent like lines. A button for a
// photo opens the camera; without script it leads to the page of the line's
// photos, whose form is sent the same way.
"use strict";
(() => {
	const longest = 1600, most = 12 << 20, {el} = Outbox;

	// shrink turns a file into an upright JPEG of a size that goes over poor
	// Wi-Fi. What the phone cannot open is sent as it is: the shop says why not.
	const shrink = async (file) => {
		try {
			const bitmap = await createImageBitmap(file, {imageOrientation: "from-image"});
			const scale = Math.min(1, longest / Math.max(bitmap.width, bitmap.height));
			const size = (n) => Math.max(1, Math.round(n * scale));
			const canvas = el("canvas", {width: size(bitmap.width), height: size(bitmap.height)});
			canvas.getContext("2d").drawImage(bitmap, 0, 0, canvas.width, canvas.height);
			bitmap.close();
			return await new Promise((done) => canvas.toBlob(done, "image/jpeg", .8)) || file;
		} catch {
			return file;
		}
	};

	// send keeps a photo, then waits a while for what becomes of it: "sent",
	// "refused" or "waiting", with its entry; "large" and "full" are not kept.
	const send = async (path, file, words, fields = []) => {
		const blob = await shrink(file);
		if (blob.size > most) return ["large"];
		const [, first, melt, , line] = path.split("/"), key = Shop.key();
		const entry = {
			person: Outbox.me, melt: first === "melts" ? melt : "", path, blob, key, kind: "photo", tapped: Date.now(),
			of: line?.startsWith("key-") ? line.slice(4) : "", fields: [...fields, ["key", key]],
			told: {verb: "Photo", text: words, value: ""},
		};
		try {
			await Outbox.put(entry);
		} catch {
			return ["full"];
		}
		navigator.vibrate?.(40);
		const end = Outbox.down || Outbox.signin ? (Outbox.flush(), "waiting") : await Outbox.settled(entry.id, 8500);
		return [end, await Outbox.get(entry.id)];
	};
	const says = ([end, entry]) => ({
		sent: "The photo is kept in the shop.",
		waiting: "The photo is kept here, not sent. It goes out by itself when the shop answers.",
		refused: "The photo was not taken. " + entry?.refused?.said,
		large: "The photo is larger than 12 MB and was not kept. Set the camera to a smaller size.",
		full: "This phone cannot keep the photo. Open the photos of the line and send it from there.",
	})[end];

	// say tells it at the thumb, on any page.
	const say = (text) => {
		if (typeof Melt === "object" && Melt) { Melt.say(text); return; }
		let strip = document.querySelector(".strip");
		if (!strip) document.body.append(strip = el("section", {className: "strip", ariaLabel: "At hand"}));
		strip.querySelector(".flash:not(.unsent)")?.remove();
		strip.append(el("div", {className: "flash"}, el("p", {role: "status", textContent: text})));
	};
	const done = async (end) => {
		const here = typeof Melt === "object" && Melt;
		if (end[0] === "refused") await Outbox.drop(end[1].id);
		if (end[0] === "sent" && here) await Melt.refresh();
		else if (end[0] === "sent") { location.reload(); return; }
		if (end[0] === "waiting") waits = end[1]?.id;
		say(says(end));
	};
	let waits = 0; // the entry that was said to wait
	Outbox.watch(() => {
		if (!Outbox.sent.has(waits)) return;
		waits = 0;
		say(says(["sent"]));
	});

	// The button for a photo. The picker belongs to the page while it is open: the
	// camera may take long, and a phone forgets what nothing holds.
	document.addEventListener("click", (event) => {
		const link = event.target.closest('.row a[href$="/photos"]');
		if (!link || !Outbox.ready || event.ctrlKey || event.metaKey || event.shiftKey) return;
		event.preventDefault();
		const words = "of: " + link.closest(".row").querySelector(".what > :first-child").textContent.trim();
		document.querySelector("input[data-picker]")?.remove();
		const input = el("input", {type: "file", accept: "image/*", hidden: true, ariaLabel: "Photo"});
		input.dataset.picker = "";
		input.onchange = async () => {
			const file = input.files[0];
			input.remove();
			if (!file) return;
			say("The photo is being made small.");
			done(await send(link.pathname, file, words));
		};
		document.body.append(input);
		input.click();
	});

	// The form on the page of a line's photos.
	document.addEventListener("submit", async (event) => {
		const form = event.target;
		if (!form.matches("[data-photo]")) return;
		event.stopImmediatePropagation(); // it is no form of a line
		const file = form.elements.photo.files[0];
		if (!file || !Outbox.ready || event.defaultPrevented) return;
		event.preventDefault();
		say("The photo is being made small.");
		const note = form.elements.note.value;
		const end = await send(new URL(form.action).pathname, file, note, [["note", note]]);
		if (end[0] !== "refused" && end[0] !== "large") form.reset();
		done(end);
	});
})();
