# Completion of stanchion in fish:
#
#     stanchion completion fish | source
#
# The program gets the last word as it was typed, quotes and all.

function __stanchion_complete
    set -l words (commandline -opc)
    set -l typed (commandline -ct)
    set -l program (string replace -r '^~/' "$HOME/" -- $words[1])
    set -l lines ($program __complete $words[2..-1] "$typed" 2>/dev/null)
    set -l code (string replace : '' -- $lines[-1])
    set -e lines[-1]
    string match -q -r '^[0-9]+$' -- "$code"; or return
    # What is completed may stand behind "--flag=".
    set -l flag (string match -r -- '^--[a-z-]+=' "$typed"; or echo '')
    set -l value (string replace -- "$flag" '' "$typed")
    if test (math "bitand($code, 1)") -ne 0
        return
    else if test (math "bitand($code, 8)") -ne 0 # files with these endings, and folders
        set -l endings '^(?:.*/|.*\.(?:'(string join '|' $lines)'))(?:\t.*)?$'
        printf '%s\n' $flag(complete -C "'' $value" | string match -r $endings)
    else if test (count $lines) -gt 0
        printf '%s\n' $flag(string replace -a '`' '' -- $lines)
    else if test (math "bitand($code, 4)") -eq 0
        printf '%s\n' $flag(complete -C "'' $value")
    end
end

complete -c stanchion -e
complete -c stanchion -f -k -a '(__stanchion_complete)'
