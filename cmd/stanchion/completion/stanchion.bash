# Completion of stanchion in bash 4 or later:
#
#     source <(stanchion completion bash)
#
# bash parts a line at "=" too; the words are put together again before the
# program gets them as they were typed, quotes and all. A name is offered as
# if it were a file, so that bash quotes its spaces.

_stanchion() {
    local typed=$2 word words=() joined=
    for word in "${COMP_WORDS[@]:1:COMP_CWORD-1}"; do
        if [[ $word == = || $joined ]]; then
            joined=
            if ((${#words[@]})); then
                words[${#words[@]}-1]+=$word
                [[ $word == = ]] && joined=yes
                continue
            fi
        fi
        words+=("$word")
    done
    # What is completed may stand behind "--flag=".
    local flag=
    if [[ ${COMP_WORDS[COMP_CWORD]} == = ]]; then
        typed=
        flag="${words[${#words[@]}-1]}="
        unset "words[${#words[@]}-1]"
    elif [[ $joined ]]; then
        flag="${words[${#words[@]}-1]}"
        unset "words[${#words[@]}-1]"
    fi

    local line lines=() code=0
    while IFS= read -r line; do
        case $line in
            :*) code=${line#:} ;;
            ?*) lines+=("$line") ;;
        esac
    done < <("${COMP_WORDS[0]/#\~/$HOME}" __completeNoDesc "${words[@]}" "$flag$typed" 2>/dev/null)

    COMPREPLY=()
    if ((code & 1)); then
        return
    fi
    if ((code & 8)); then # files with these endings, and folders
        compopt -o filenames 2>/dev/null
        local ending
        for ending in "${lines[@]}"; do
            while IFS= read -r line; do COMPREPLY+=("$line"); done < <(compgen -f -X "!*.$ending" -- "$typed")
        done
        while IFS= read -r line; do COMPREPLY+=("$line"); done < <(compgen -d -- "$typed")
        return
    fi
    if ((${#lines[@]})); then
        COMPREPLY=("${lines[@]}")
        [[ ${lines[*]} == *" "* ]] && compopt -o filenames 2>/dev/null
        ((code & 32)) && compopt -o nosort 2>/dev/null
        return
    fi
    if ! ((code & 4)); then
        compopt -o default 2>/dev/null
    fi
}

complete -F _stanchion stanchion
