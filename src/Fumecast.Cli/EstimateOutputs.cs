// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.Forecast;
using Fumecast.Pictures;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary>Where the parts of one estimate go. All targets are opened before the work and appear together after it, or not at all.</summary>
internal sealed class EstimateOutputs : IDisposable
{
    private readonly Surroundings _around;
    private readonly OutputFile? _result;
    private readonly OutputFile? _series;
    private readonly FileStream? _spool;
    private readonly SeriesCsv? _table;
    private readonly OutputFile? _plot;
    private readonly EstimatePicture? _picture;
    private readonly PictureFormat _plotFormat;

    /// <summary>Opens the targets.</summary>
    /// <param name="around">What the command may touch.</param>
    /// <param name="job">The job, which no output may overwrite.</param>
    /// <param name="binS">Length of the series' bins [s].</param>
    /// <param name="result">File of the result, or null or <c>-</c> for stdout.</param>
    /// <param name="series">File of the series, <c>-</c> for stdout, or null.</param>
    /// <param name="plot">File of the picture, or null.</param>
    /// <exception cref="UsageProblem">The targets do not fit together.</exception>
    /// <exception cref="Inputs.InputProblem">A target cannot be written.</exception>
    public EstimateOutputs(Surroundings around, string job, double binS, string? result, string? series, string? plot)
    {
        _around = around;
        ResultGoesToFile = result is not (null or "-");
        if (series == "-" && !ResultGoesToFile)
        {
            throw new UsageProblem("--series: found '-', but the result goes to stdout already; send it elsewhere with --out FILE");
        }

        _plotFormat = plot is null ? default : OutputTargets.FormatOf(plot);
        OutputTargets.KeepApart([job], ("--out", result), ("--series", series), ("--plot", plot));
        try
        {
            _result = ResultGoesToFile ? OutputFile.Create(result!) : null;
            _series = series is null or "-" ? null : OutputFile.Create(series);
            _plot = plot is null ? null : OutputFile.Create(plot);
        }
        catch
        {
            Dispose();
            throw;
        }

        var sinks = new List<ISeriesSink>();
        if (series is not null)
        {
            if (_series is not { Stream.CanSeek: true })
            {
                // A job may be read twice, and a pipe cannot take back the rows of the first time.
                _spool = new FileStream(
                    Path.Combine(Path.GetTempPath(), Path.GetRandomFileName()), FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None, 4096,
                    FileOptions.DeleteOnClose);
            }

            _table = new SeriesCsv(_spool ?? _series!.Stream, binS);
            sinks.Add(_table);
        }

        if (plot is not null)
        {
            _picture = new EstimatePicture();
            sinks.Add(_picture);
        }

        Series = sinks.Count switch { 0 => null, 1 => sinks[0], _ => new SeriesTee([.. sinks]) };
    }

    /// <summary>Receives the series, or null when nobody asked for it.</summary>
    public ISeriesSink? Series { get; }

    /// <summary>Whether the result goes to a file and not to stdout.</summary>
    public bool ResultGoesToFile { get; }

    /// <summary>Writes everything and moves the files into place.</summary>
    /// <param name="estimate">The estimate.</param>
    /// <param name="format"><c>text</c>, <c>json</c> or <c>csv</c>.</param>
    /// <param name="style">Layout of text.</param>
    public void Finish(JobEstimate estimate, string format, TextStyle style)
    {
        FinishSeries();
        if (_plot is not null)
        {
            _picture!.Write(_plot.Stream, _plotFormat, estimate);
        }

        // In one piece, so that a mistake on the way leaves no half result on stdout.
        using var document = new MemoryStream();
        WriteResult(document, estimate, format, style);
        _result?.Stream.Write(document.GetBuffer(), 0, (int)document.Length);
        _series?.Commit();
        _plot?.Commit();
        _result?.Commit();
        if (_result is null)
        {
            Result.Write(_around.Output, document.GetBuffer().AsSpan(0, (int)document.Length));
        }
    }

    private void FinishSeries()
    {
        _table?.Flush();
        if (_spool is null)
        {
            return;
        }

        _spool.Position = 0;
        try
        {
            _spool.CopyTo(_series?.Stream ?? _around.Output);
            _around.Output.Flush();
        }
        catch (IOException trouble) when (Result.IsClosedPipe(trouble))
        {
            // The reader of the pipe has seen enough.
        }
    }

    public void Dispose()
    {
        _spool?.Dispose();
        _result?.Dispose();
        _series?.Dispose();
        _plot?.Dispose();
    }

    private static void WriteResult(Stream output, JobEstimate estimate, string format, TextStyle style)
    {
        if (format == "json")
        {
            EstimateJson.Write(output, estimate);
            return;
        }

        using var text = new StreamWriter(output, new UTF8Encoding(false), leaveOpen: true) { NewLine = "\n" };
        if (format == "csv")
        {
            EstimateCsv.WriteHeader(text);
            EstimateCsv.WriteRow(text, estimate);
        }
        else
        {
            EstimateText.Write(text, estimate, style);
        }
    }
}
