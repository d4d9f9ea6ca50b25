// SPDX-License-Identifier: MIT
using Fumecast.Inputs;
using Fumecast.Trial;

namespace Fumecast.Report;

/// <summary>Checks notebooks, one by one, and hands out a start for one.</summary>
internal static class NotebookCheck
{
    /// <summary>The start for a notebook.</summary>
    public static string Template => DataTemplate.TextOf("notebooks");

    /// <summary>Writes a line on each notebook: what is in it, or what is wrong with it and where.</summary>
    /// <param name="to">Where to.</param>
    /// <param name="files">Paths of the notebooks.</param>
    /// <returns>How many are wrong [-].</returns>
    public static int Write(TextWriter to, IEnumerable<string> files)
    {
        ArgumentNullException.ThrowIfNull(to);
        ArgumentNullException.ThrowIfNull(files);
        var wrong = 0;
        foreach (var path in files)
        {
            try
            {
                var file = DataFile.Load(path);
                var notebook = NotebookFile.Read(file);
                string[] absent = [.. notebook.Runs.SelectMany(static run => new[] { run.Log, run.Job }).OfType<string>().Distinct().Where(static named => named != "-" && !File.Exists(named.Split('#')[0]))];
                string[] but = [.. new[] { file.UnfilledWords, absent.Length > 0 ? $"not there yet: {string.Join(", ", absent)}" : "" }.Where(static words => words.Length > 0)];
                var runs = notebook.Runs.Count == 1 ? "1 run" : FormattableString.Invariant($"{notebook.Runs.Count} runs");
                to.Write($"{TextPage.Clean($"{path}: good, a notebook with {runs}{(but.Length > 0 ? "; but " + string.Join("; ", but) : "")}")}\n");
            }
            catch (InputProblem problem)
            {
                wrong++;
                to.Write($"{TextPage.Clean(problem.Message)}\n");
            }
        }

        return wrong;
    }
}
