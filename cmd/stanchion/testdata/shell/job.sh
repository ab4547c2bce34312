# one job of an array checks the line of the list that bears its number
mkdir -p results
stanchion check --format jsonl "$(sed -n "${INDEX}p" list.txt)" > results/$INDEX.jsonl
