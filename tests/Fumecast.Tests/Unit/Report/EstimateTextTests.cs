// SPDX-License-Identifier: MIT
using Fumecast.Report;

namespace Fumecast.Tests.Unit.Report;

public class EstimateTextTests
{
    [Fact]
    public void Shows_the_whole_summary()
    {
        var text = new StringWriter();
        EstimateText.Write(text, SampleEstimate.Make(), new TextStyle());
        File.WriteAllText("/tmp/sample.txt", text.ToString());
    }
}
