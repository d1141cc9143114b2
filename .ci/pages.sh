#!/usr/bin/env bash
# Opens the pages in a browser without a screen: each test card prints on one page of A4 and of
# Letter, and neither card nor report logs an error or asks for anything from outside.
set -euo pipefail
cd "$(dirname "$0")/.."
if ! command -v chromium >/dev/null 2>&1 || ! command -v pdfinfo >/dev/null 2>&1; then
    apt-get update -q && apt-get install -qy --no-install-recommends chromium poppler-utils fonts-liberation
fi
pressfed=$PWD/target/release/pressfed
pages=$(mktemp -d)
browse() {
    chromium --headless --no-sandbox --disable-gpu --user-data-dir="$pages/profile" \
        --enable-logging=stderr --virtual-time-budget=2000 "$@" 2>>"$pages/log"
}
# Paper by the page's own style: the browser's command line has no option for it.
on_paper() { sed "s|</head>|<style>@page{size:$1}</style></head>|" "$2"; }
for stand in scenarios/stands/*.toml; do
    name=$(basename "$stand" .toml)
    # A stand that does not keep its limits has its card, too.
    "$pressfed" card "$stand" --draws 40 -o "$pages/$name.html" >/dev/null 2>&1 || [ $? = 1 ]
    for paper in A4 letter; do
        on_paper "$paper" "$pages/$name.html" >"$pages/$name-$paper.html"
        browse --no-pdf-header-footer --print-to-pdf="$pages/$name.pdf" \
            "file://$pages/$name-$paper.html"
        count=$(pdfinfo "$pages/$name.pdf" | awk '/^Pages:/ {print $2}')
        [ "$count" = 1 ] || { echo "the card of $name takes $count pages of $paper" >&2; exit 1; }
    done
done
"$pressfed" demo -o "$pages/demo" >/dev/null 2>&1
report=$pages/demo/report.html
# The report with its own check in it, by day and by night: the plots answer to the keys, and all
# text stands out from its ground.
sed '/<\/body>/{
    s|</body>.*|<script>|
    r .ci/report.js
    a </script></body></html>
}' "$report" >"$pages/checked.html"
for scheme in 0=dark 1=light; do
    browse --blink-settings="preferredColorScheme=${scheme%=*}" --dump-dom \
        "file://$pages/checked.html" >"$pages/dom.html"
    grep -q "data-checked=\"${scheme#*=}\"" "$pages/dom.html" ||
        { echo "the report was not checked in ${scheme#*=}" >&2; exit 1; }
done
browse --no-pdf-header-footer --print-to-pdf="$pages/report.pdf" "file://$report"
sheets=$(pdfinfo "$pages/report.pdf" | awk '/^Pages:/ {print $2}')
[ "$sheets" -le 12 ] || { echo "the report takes $sheets pages, more than 12" >&2; exit 1; }
size=$(stat -c %s "$report")
[ "$size" -le 1500000 ] || { echo "the report has $size bytes, more than 1.5 MB" >&2; exit 1; }
if grep -E 'CONSOLE' "$pages/log"; then
    echo "a page logs to the console" >&2
    exit 1
fi
# Whatever a page could fetch: links in its text are no requests.
if grep -nEi '(src|data|poster)="https?:|url\(["'"'"']?https?:|<link[^>]*href="https?:|@import' \
    "$pages"/*.html "$pages/demo/report.html"; then
    echo "a page asks for something from outside" >&2
    exit 1
fi
echo "$(ls scenarios/stands/*.toml | wc -l) cards print on one page of A4 and Letter; the report has $size bytes and $sheets pages"
rm -r "$pages"
