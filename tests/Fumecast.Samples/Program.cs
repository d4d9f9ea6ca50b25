// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Samples;

return args switch
{
    ["examples"] => WriteExamples("examples"),
    ["examples", var folder] => WriteExamples(folder),
    ["big", "--megabytes", var size, "--kind", var kind, "--out", var file]
        when double.TryParse(size, CultureInfo.InvariantCulture, out var megabytes) && megabytes is > 0 and <= 100_000
            && Enum.TryParse<BigJobKind>(kind.Replace("-", "", StringComparison.Ordinal), ignoreCase: true, out var shape) => WriteBig(megabytes, shape, file),
    _ => Usage(),
};

static int WriteExamples(string folder)
{
    foreach (var job in RepairCafe.Jobs)
    {
        var place = Path.Combine(folder, job.Name);
        Directory.CreateDirectory(place);
        File.WriteAllBytes(Path.Combine(place, "job.gcode"), job.ToGCode());
        File.WriteAllText(Path.Combine(place, "README.md"), job.Story);
        Console.WriteLine(place);
    }

    var trial = Path.Combine(folder, "filter-trial");
    Directory.CreateDirectory(trial);
    foreach (var (name, text) in FilterTrial.Files())
    {
        File.WriteAllText(Path.Combine(trial, name), text);
    }

    Console.WriteLine(trial);
    return 0;
}

static int WriteBig(double megabytes, BigJobKind kind, string file)
{
    using var output = file == "-" ? Console.OpenStandardOutput() : new FileStream(file, FileMode.Create, FileAccess.Write, FileShare.None, bufferSize: 0);
    BigJob.Write(output, kind, megabytes);
    return 0;
}

static int Usage()
{
    Console.Error.WriteLine("""
        usage (from the top of the repository):
          dotnet run --project tests/Fumecast.Samples -- examples [FOLDER]
          dotnet run --project tests/Fumecast.Samples -- big --megabytes N --kind perimeters|arcs|tiny|absolute-crlf|comments --out FILE
        FILE may be - for standard output.
        """);
    return 2;
}
