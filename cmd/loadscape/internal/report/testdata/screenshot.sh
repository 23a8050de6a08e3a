#!/bin/sh
# Opens a page in a headless browser and takes its picture as wide as a phone
# and as a desk, and prints it on paper. Skips where no browser is installed.
#
#	screenshot.sh PAGE.html DIR
#
# On Debian: apt-get install chromium
set -eu
page=$(realpath "$1")
out=$2
browser=
for name in ${BROWSER:-} chromium chromium-browser; do
	if command -v "$name" >/dev/null 2>&1; then
		browser=$name
		break
	fi
done
if [ -z "$browser" ]; then
	echo "skipped: no headless browser is installed" >&2
	exit 0
fi
mkdir -p "$out"
profile=$(mktemp -d)
trap 'rm -rf "$profile"' EXIT
run() {
	"$browser" --headless --no-sandbox --disable-gpu --disable-dev-shm-usage --hide-scrollbars \
		--user-data-dir="$profile" --host-resolver-rules='MAP * ~NOTFOUND' "$@" "file://$page" 2>/dev/null
}
# A browser's window is at least 500 pixels wide: the phone is a frame in it.
frame=$profile/phone.html
printf '<!DOCTYPE html><body style="margin:0"><iframe src="file://%s" style="width:390px;height:9000px;border:0"></iframe>' "$page" >"$frame"
run --window-size=1280,5200 --screenshot="$out/desk.png"
run --no-pdf-header-footer --print-to-pdf="$out/page.pdf"
page=$frame
run --window-size=500,9000 --screenshot="$out/phone.png"
for picture in desk.png phone.png page.pdf; do
	[ -s "$out/$picture" ] || { echo "no $picture was made" >&2; exit 1; }
done
