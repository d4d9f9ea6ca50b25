// SPDX-License-Identifier: MIT
using Fumecast.Pictures;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary>Where a result and its picture go: both are opened before the work and appear together after it, or not at all.</summary>
internal sealed class OutputTargets : IDisposable
{
    private readonly Surroundings _around;
    private readonly OutputFile? _result;
    private readonly OutputFile? _plot;
    private readonly PictureFormat _plotFormat;

    /// <summary>Opens the targets.</summary>
    /// <param name="around">What the command may touch.</param>
    /// <param name="jobs">The jobs, which no output may overwrite.</param>
    /// <param name="result">File of the result, or null or <c>-</c> for stdout.</param>
    /// <param name="plot">File of the picture, or null.</param>
    /// <exception cref="UsageProblem">The targets do not fit together.</exception>
    /// <exception cref="Inputs.InputProblem">A target cannot be written.</exception>
    public OutputTargets(Surroundings around, IReadOnlyList<string> jobs, string? result, string? plot)
    {
        _around = around;
        ResultGoesToFile = result is not (null or "-");
        _plotFormat = plot is null ? default : FormatOf(plot);
        KeepApart(jobs, ("--out", result), ("--plot", plot));
        if (plot is not null)
        {
            DrawingLibrary.Require();
        }

        try
        {
            _result = ResultGoesToFile ? OutputFile.Create(result!) : null;
            _plot = plot is null ? null : OutputFile.Create(plot);
        }
        catch
        {
            Dispose();
            throw;
        }
    }

    /// <summary>Whether the result goes to a file and not to stdout.</summary>
    public bool ResultGoesToFile { get; }

    /// <summary>Whether a picture is wanted.</summary>
    public bool WantsPlot => _plot is not null;

    /// <summary>Writes everything and moves the files into place.</summary>
    /// <param name="write">Writes the result.</param>
    /// <param name="draw">Draws the picture.</param>
    public void Finish(Action<Stream> write, Action<Stream, PictureFormat> draw)
    {
        if (_plot is not null)
        {
            draw(_plot.Stream, _plotFormat);
        }

        // In one piece, so that a mistake on the way leaves no half result on stdout.
        using var document = new MemoryStream();
        write(document);
        _result?.Stream.Write(document.GetBuffer(), 0, (int)document.Length);
        _plot?.Commit();
        _result?.Commit();
        if (_result is null)
        {
            Result.Write(_around.Output, document.GetBuffer().AsSpan(0, (int)document.Length));
        }
    }

    public void Dispose()
    {
        _result?.Dispose();
        _plot?.Dispose();
    }

    /// <summary>The form of a picture by the end of its name.</summary>
    /// <exception cref="UsageProblem">It is none of ours.</exception>
    public static PictureFormat FormatOf(string plot) =>
        plot.EndsWith(".png", StringComparison.OrdinalIgnoreCase) ? PictureFormat.Png
        : plot.EndsWith(".svg", StringComparison.OrdinalIgnoreCase) ? PictureFormat.Svg
        : throw new UsageProblem($"--plot: found '{plot}', expected a name that ends in .svg or .png");

    /// <summary>Two outputs in one file, or an output over an input, is always a slip.</summary>
    /// <param name="jobs">The inputs.</param>
    /// <param name="outputs">The outputs by their option.</param>
    /// <exception cref="UsageProblem">There is such a slip.</exception>
    public static void KeepApart(IReadOnlyList<string> jobs, params ReadOnlySpan<(string Name, string? Path)> outputs)
    {
        var taken = new Dictionary<string, string>();
        foreach (var job in jobs)
        {
            if (job.Split('#')[0] is var file and not ("" or "-"))
            {
                taken[Path.GetFullPath(file)] = "the job";
            }
        }

        foreach (var (name, path) in outputs)
        {
            if (path is null or "-" || path.StartsWith("/dev/", StringComparison.Ordinal))
            {
                continue;
            }

            if (!taken.TryAdd(Path.GetFullPath(path), name))
            {
                throw new UsageProblem($"{name}: '{path}' is also {taken[Path.GetFullPath(path)]}; name another file");
            }
        }
    }
}
