// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Report;

/// <summary>Checks data files of any kind, one by one.</summary>
internal static class DataCheck
{
    /// <summary>Writes a line on each file: what is in it, or what is wrong with it and where.</summary>
    /// <param name="to">Where to.</param>
    /// <param name="kinds">The kinds that a file may be of.</param>
    /// <param name="assumed">The kind that is meant where a file does not say.</param>
    /// <param name="files">Paths of the files.</param>
    /// <returns>How many files are wrong [-].</returns>
    public static int Write(TextWriter to, IReadOnlyList<DataKind> kinds, DataKind assumed, IEnumerable<string> files)
    {
        ArgumentNullException.ThrowIfNull(to);
        ArgumentNullException.ThrowIfNull(kinds);
        ArgumentNullException.ThrowIfNull(assumed);
        ArgumentNullException.ThrowIfNull(files);
        var wrong = 0;
        foreach (var path in files)
        {
            try
            {
                var file = DataFile.Load(path);
                to.Write($"{TextPage.Clean($"{path}: good, {KindOf(file, kinds, assumed).Verdict(file)}{(file.UnfilledWords is { Length: > 0 } words ? "; but " + words : "")}")}\n");
            }
            catch (InputProblem problem)
            {
                wrong++;
                to.Write($"{TextPage.Clean(problem.Message)}\n");
            }
        }

        return wrong;
    }

    private static DataKind KindOf(DataFile file, IReadOnlyList<DataKind> kinds, DataKind assumed)
    {
        if (YamlMap.SchemaOf(file) is not { } schema)
        {
            return assumed;
        }

        return kinds.FirstOrDefault(kind => kind.Schema == schema)
            ?? throw new InputProblem($"{file.Name}: schema: found '{schema}'{Nearest.Hint(schema, [.. kinds.Select(static kind => kind.Schema)])}");
    }
}
