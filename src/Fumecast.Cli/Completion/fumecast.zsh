#compdef fumecast
# SPDX-License-Identifier: MIT
# Completion of fumecast for zsh. To use it: fumecast completion zsh > DIR/_fumecast, DIR being in $fpath; or source it after compinit.
_fumecast()
{
    local program=${words[1]/#\~/$HOME} typed word found
    local -a offered
    word=${words[CURRENT]}
    typed="fumecast"
    (( CURRENT > 2 )) && typed="fumecast ${(j: :)words[2,CURRENT-1]}"
    typed="$typed $word"
    for found in ${(f)"$($program "[suggest:${#typed}]" "$typed" 2>/dev/null)"}; do
        # Options only where one was begun, so that a bare Tab can offer files.
        [[ $found == -* && $word != -* ]] && continue
        [[ $found == $word* ]] && offered+=("$found")
    done
    if (( ${#offered} )); then
        compadd -a offered
    else
        _files
    fi
}
if [[ ${funcstack[1]} == _fumecast ]]; then
    _fumecast "$@"
else
    compdef _fumecast fumecast
fi
