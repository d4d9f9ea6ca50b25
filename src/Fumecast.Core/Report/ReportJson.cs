// SPDX-License-Identifier: MIT
using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;

namespace Fumecast.Report;

/// <summary>The serializers of all documents, made when the program is built: nothing is looked up by reflection.</summary>
[JsonSourceGenerationOptions(
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull, GenerationMode = JsonSourceGenerationMode.Serialization)]
[JsonSerializable(typeof(EstimateDocument))]
[JsonSerializable(typeof(EvennessDocument))]
[JsonSerializable(typeof(CompareDocument))]
[JsonSerializable(typeof(AirDocument))]
[JsonSerializable(typeof(LogDocument))]
[JsonSerializable(typeof(TrialDocument))]
[JsonSerializable(typeof(PlanDocument))]
[JsonSerializable(typeof(CalibrationDocument))]
internal sealed partial class ReportJson : JsonSerializerContext
{
    /// <summary>Version of the program, as every document states it.</summary>
    public static string ProgramVersion { get; } = typeof(ReportJson).Assembly.GetName().Version?.ToString(3) ?? "0";

    /// <summary>Layout. Documents are files, not parts of a web page: citations keep their accents and quotes. Signs that turn text are shown by their number.</summary>
    public static JsonWriterOptions WriterOptions { get; } = new()
    {
        Indented = true,
        NewLine = "\n",
        Encoder = new VisibleJsonEncoder(),
    };

    /// <summary>Writes a document and the line end after it.</summary>
    public static void Write<T>(Stream output, T document, JsonTypeInfo<T> type)
    {
        using (var writer = new Utf8JsonWriter(output, WriterOptions))
        {
            // The generated code itself, not the serializer around it: that takes as long to start as the rest of a small job.
            type.SerializeHandler!(writer, document);
        }

        output.WriteByte((byte)'\n');
    }
}
