// SPDX-License-Identifier: MIT
namespace Fumecast.Inputs;

/// <summary>Finds the known word that was probably meant.</summary>
internal static class Nearest
{
    /// <summary>A word with fewer letters and digits gives nothing to go by [-]; a choice of ours.</summary>
    private const int LeastLetters = 3;

    /// <summary>The known word with the fewest changed letters, or null when none is close enough to be meant.</summary>
    /// <param name="word">What was written.</param>
    /// <param name="known">What could have been written.</param>
    /// <returns>A word of <paramref name="known"/> at most a third of its letters away (swapped neighbours count as one change), or null.</returns>
    public static string? To(string word, IEnumerable<string> known)
    {
        ArgumentNullException.ThrowIfNull(word);
        ArgumentNullException.ThrowIfNull(known);
        if (word.Count(char.IsLetterOrDigit) < LeastLetters)
        {
            // Any word as short is near it.
            return null;
        }

        string? best = null;
        var fewest = int.MaxValue;
        foreach (var candidate in known)
        {
            // A long word cannot be near a short one; this also keeps the table small for hostile input.
            if (Math.Abs(candidate.Length - word.Length) > candidate.Length / 3 + 1)
            {
                continue;
            }

            var distance = Distance(word.ToUpperInvariant(), candidate.ToUpperInvariant());
            if (distance < fewest && distance <= Math.Max(1, candidate.Length / 3))
            {
                best = candidate;
                fewest = distance;
            }
        }

        return best;
    }

    /// <summary>Ends a message with the nearest known word, or with all of them when they are few.</summary>
    /// <param name="word">What was written.</param>
    /// <param name="known">What could have been written.</param>
    /// <returns><c>; did you mean 'x'?</c>, <c>; known: a, b</c>, or nothing.</returns>
    public static string Hint(string word, IReadOnlyCollection<string> known) =>
        To(word, known) is { } near ? $"; did you mean '{near}'?"
        : known.Count is > 0 and <= 24 ? $"; known: {string.Join(", ", known)}"
        : "";

    /// <summary>Optimal string alignment: changes, insertions, removals and swaps of neighbours.</summary>
    private static int Distance(string a, string b)
    {
        var before = new int[b.Length + 1];
        var last = new int[b.Length + 1];
        var row = new int[b.Length + 1];
        for (var j = 0; j <= b.Length; j++)
        {
            last[j] = j;
        }

        for (var i = 1; i <= a.Length; i++)
        {
            row[0] = i;
            for (var j = 1; j <= b.Length; j++)
            {
                var cost = a[i - 1] == b[j - 1] ? 0 : 1;
                row[j] = Math.Min(Math.Min(row[j - 1], last[j]) + 1, last[j - 1] + cost);
                if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                {
                    row[j] = Math.Min(row[j], before[j - 2] + 1);
                }
            }

            (before, last, row) = (last, row, before);
        }

        return last[b.Length];
    }
}
