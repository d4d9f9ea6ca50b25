// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.Forecast;
using Fumecast.Pictures;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary>Where the parts of one estimate go: result, series and picture.</summary>
internal sealed class EstimateOutputs : IDisposable
{
    private const int KeptForSketch = 1000;
    private readonly OutputSet _set;
    private readonly SeriesCsv? _table;
    private readonly EstimatePicture? _picture;
    private readonly SeriesCurves? _curves;
    private readonly PictureFormat _pictureFormat;

    /// <summary>Opens the targets.</summary>
    /// <param name="around">What the command may touch.</param>
    /// <param name="inputs">What is read, which no output may overwrite.</param>
    /// <param name="binS">Length of the series' bins [s].</param>
    /// <param name="result">File of the result, or null or <c>-</c> for stdout.</param>
    /// <param name="series">File of the series, <c>-</c> for stdout, or null.</param>
    /// <param name="plot">File of the picture, or null.</param>
    /// <param name="sketches">Whether the text has curves in block characters.</param>
    /// <exception cref="UsageProblem">The targets do not fit together.</exception>
    /// <exception cref="Inputs.InputProblem">A target cannot be written.</exception>
    public EstimateOutputs(Surroundings around, IEnumerable<InputFile> inputs, double binS, string? result, string? series, string? plot, bool sketches)
    {
        _pictureFormat = PictureName.FormatOf(plot);
        _set = OutputSet.Open(around, inputs, ("--out", result ?? "-"), ("--series", series), ("--plot", plot));
        ResultGoesToFile = !_set["--out"].IsStdout;
        var sinks = new List<ISeriesSink>();
        if (series is not null)
        {
            // A job may be read twice: the rows of the first time must be taken back.
            _table = new SeriesCsv(_set["--series"].Stream, binS);
            sinks.Add(_table);
        }

        if (plot is not null)
        {
            _picture = new EstimatePicture();
            sinks.Add(_picture);
        }

        if (sketches)
        {
            _curves = new SeriesCurves(KeptForSketch, isOptional: true);
            sinks.Add(_curves);
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
        _table?.Flush();
        _picture?.Write(_set["--plot"].Stream, _pictureFormat, estimate);
        WriteResult(_set["--out"].Stream, estimate, format, style, _curves);
        _set.Commit();
    }

    public void Dispose() => _set.Dispose();

    private static void WriteResult(Stream output, JobEstimate estimate, string format, TextStyle style, SeriesCurves? curves)
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
            EstimateText.Write(text, estimate, style, curves);
        }
    }
}
