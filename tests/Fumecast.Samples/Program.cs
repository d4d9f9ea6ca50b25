// SPDX-License-Identifier: MIT
using Fumecast.Samples;

return args switch
{
    ["examples"] => WriteExamples("examples"),
    ["examples", var folder] => WriteExamples(folder),
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

    return 0;
}

static int Usage()
{
    Console.Error.WriteLine("""
        usage (from the top of the repository):
          dotnet run --project tests/Fumecast.Samples -- examples [FOLDER]
        """);
    return 2;
}
