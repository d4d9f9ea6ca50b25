// SPDX-License-Identifier: MIT
using System.Collections.Frozen;

namespace Fumecast.GCode;

/// <summary>The commands whose words change what is simulated. What else stands in a job a printer may understand: its words are never a reason to refuse the job.</summary>
/// <remarks>A test tries every number and holds the list against what the interpreter does with the words.</remarks>
internal static class WordsThatMatter
{
    private static readonly FrozenSet<int> G = FrozenSet.ToFrozenSet([0, 1, 2, 3, 4, 10, 28, 29, 30, 31, 32, 33, 34, 92]);

    private static readonly FrozenSet<int> M = FrozenSet.ToFrozenSet(
    [
        0, 1, 6, 92, 104, 106, 108, 109, 135, 140, 149, 190, 200, 201, 203, 204, 205, 207, 208, 209, 220, 221, 302, 486, 566, 568,
    ]);

    /// <summary>Whether the words behind a command are read for their meaning.</summary>
    /// <param name="letter">G, M or T; anything else is a line without a command, whose words are.</param>
    /// <param name="number">Its number [-].</param>
    internal static bool Of(char letter, int number) => letter switch
    {
        'G' => G.Contains(number),
        'M' => M.Contains(number),
        'T' => false,
        _ => true,
    };
}
