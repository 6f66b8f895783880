#!/bin/sh
# Makes the pictures in fixtures/cards anew: twelve cards of the invented edition, to be looked at.
#
#   cargo build --release && sh tests/cards.sh target/release/vitta [BOOK.json]
#
# BOOK.json is the book as the demo reads it from its photographs (target/demo/shelf/books/vallombra.json after
# `vitta demo`, which is run if it is not given). Needs pdftoppm (poppler-utils).
set -eu
vitta=$(realpath "$1")
out=fixtures/cards
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
book=${2:-}
if [ -z "$book" ]; then
    "$vitta" demo --folder "$work/demo" > "$work/demo.txt" || [ $? = 1 ]
    book=$work/demo/shelf/books/vallombra.json
fi
export VITTA_SHELF=$work/shelf
"$vitta" book import "$book" --name Vallombra > "$work/said"
"$vitta" book marks vallombra --ribbons red,green,gold,violet,white,blue > "$work/said"
rm -f "$out"/*.png

# Exit 1 says that a page must be looked at, which is on the card.
card() { # name, dots per inch, grey or colour, then the command
    name=$1 dots=$2 ink=$3
    shift 3
    "$vitta" "$@" --card "$work/$name.pdf" > "$work/said" || [ $? = 1 ]
    [ "$ink" = grey ] && ink=-gray || ink=
    pdftoppm -png $ink -r "$dots" "$work/$name.pdf" "$work/$name"
    for page in "$work/$name"-*.png; do
        number=${page##*-}
        [ "$(ls "$work/$name"-*.png | wc -l)" = 1 ] && number=.png || number=-$number
        cp "$page" "$out/$name$number"
    done
}
lay() { # name, dots, ink, date, then options
    name=$1 dots=$2 ink=$3 date=$4
    shift 4
    card "$name" "$dots" "$ink" lay "$date" --book vallombra "$@"
}

lay sunday-a4 54 colour 2027-06-20 --paper a4
lay sunday-a5 72 colour 2027-06-20 --paper a5
lay sunday-a6 96 colour 2027-06-20 --paper a6 --ribbons 4
lay solemnity-grey 72 grey 2027-06-29 --ribbons 4
"$vitta" book marks vallombra --ribbons roja,verde,dorada,morada,blanca,azul > "$work/said"
lay lent-es 72 colour 2027-03-08 --language es --ribbons 4
lay pentecost-evening-es 72 colour 2027-05-15 --evening --language es
"$vitta" book marks vallombra --ribbons red,green,gold,violet,white,blue > "$work/said"
lay vigil 72 colour 2027-03-27 --choose time/triduum/vigil
lay good-friday 72 colour 2027-03-26 --ribbons 3
lay wedding 72 colour 2027-05-08 --choose ritual/marriage/a
lay funeral 72 colour 2027-05-11 --choose dead/funeral/easter --ribbons 3
lay bound 72 colour 2027-02-21 --torn gold --keep "green=Order of Mass" --on-sheet Preface
card week 60 colour week 2027-06-19 --evening --book vallombra --ribbons 4
