// SPDX-License-Identifier: MIT
using System.Text.Json;
using Fumecast.Forecast;

namespace Fumecast.Report;

/// <summary>Writes many estimates as one JSON document, schema <c>fumecast/estimates/1</c>, each as soon as it is there, in flat memory.</summary>
/// <remarks>
/// <c>jobs</c> holds one document of schema <c>fumecast/estimate/1</c> for each job that could be used, in the order given; <c>failed</c>, absent when
/// there is none, says of the others what is wrong.
/// </remarks>
internal sealed class EstimatesJson : IDisposable
{
    private readonly Utf8JsonWriter _writer;
    private readonly Stream _output;
    private readonly List<(string File, string Message)> _failed = [];

    /// <summary>Begins the document.</summary>
    /// <param name="output">Where to write, in UTF-8; it is not closed.</param>
    public EstimatesJson(Stream output)
    {
        ArgumentNullException.ThrowIfNull(output);
        _output = output;
        _writer = new Utf8JsonWriter(output, ReportJson.WriterOptions);
        _writer.WriteStartObject();
        _writer.WriteString("schema", "fumecast/estimates/1");
        _writer.WriteString("version", ReportJson.ProgramVersion);
        _writer.WriteStartArray("jobs");
    }

    /// <summary>Writes the next estimate.</summary>
    /// <param name="estimate">The estimate.</param>
    public void Add(JobEstimate estimate)
    {
        ReportJson.Default.EstimateDocument.SerializeHandler!(_writer, EstimateJson.Document(estimate));
        _writer.Flush();
    }

    /// <summary>Notes a job that could not be used.</summary>
    /// <param name="file">The job.</param>
    /// <param name="message">What is wrong with it.</param>
    public void AddFailed(string file, string message) => _failed.Add((file, message));

    /// <summary>Ends the document.</summary>
    public void End()
    {
        _writer.WriteEndArray();
        if (_failed.Count > 0)
        {
            _writer.WriteStartArray("failed");
            foreach (var (file, message) in _failed)
            {
                _writer.WriteStartObject();
                _writer.WriteString("file", file);
                _writer.WriteString("message", message);
                _writer.WriteEndObject();
            }

            _writer.WriteEndArray();
        }

        _writer.WriteEndObject();
        _writer.Flush();
        _output.WriteByte((byte)'\n');
    }

    /// <inheritdoc/>
    public void Dispose() => _writer.Dispose();
}
