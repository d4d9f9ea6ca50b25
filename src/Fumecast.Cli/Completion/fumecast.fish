# SPDX-License-Identifier: MIT
# Completion of fumecast for fish. To use it: fumecast completion fish > ~/.config/fish/completions/fumecast.fish
function __fumecast_complete
    set -l program (commandline -op)[1]
    set program (string replace -r '^~' $HOME -- $program)
    set -l before (commandline -opc)
    set -l word (commandline -ct)
    set -l typed (string join ' ' fumecast $before[2..-1] "$word")
    for found in ($program "[suggest:"(string length -- "$typed")"]" "$typed" 2>/dev/null)
        # Options only where one was begun, so that a bare Tab can offer files.
        if string match -q -- '-*' $found; and not string match -q -- '-*' "$word"
            continue
        end
        echo $found
    end
end
complete -c fumecast -a '(__fumecast_complete)'
