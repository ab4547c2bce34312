#compdef stanchion
# Completion of stanchion in zsh, after compinit:
#
#     source <(stanchion completion zsh)
#
# or as a file named _stanchion in a folder of $fpath.

_stanchion() {
    local line code=0 tab=$'\t'
    local -a names shown
    while IFS= read -r line; do
        if [[ $line == :* ]]; then
            code=${line#:}
        elif [[ -n $line ]]; then
            names+=("${line%%$tab*}")
            line=${line//\`/}
            shown+=("${line/$tab/  -- }")
        fi
    done < <(${~words[1]} __complete "${(@)words[2,CURRENT-1]}" "$PREFIX" 2>/dev/null)

    (( code & 1 )) && return 1
    [[ $PREFIX == --*=* ]] && compset -P 1 '*='
    if (( code & 8 )); then # files with these endings, and folders
        _files -g "${(j: :)${(@)names/#/*.}}"
        return
    fi
    if (( $#names )); then
        local -a order
        (( code & 32 )) && order=(-V stanchion)
        compadd "$order[@]" -M 'm:{[:lower:][:upper:]}={[:upper:][:lower:]}' -l -d shown -a names
        return
    fi
    (( code & 4 )) && return 1
    _files
}

if [[ $funcstack[1] == _stanchion ]]; then
    _stanchion "$@" # autoloaded: this call is the first
else
    compdef _stanchion stanchion
fi
