using System.Globalization;
using System.Text;
using XoverOpt.Acoustics;
using static XoverOpt.Workshop.Tests.BuildFileFixture;

namespace XoverOpt.Workshop.Tests;

/// <summary>Every value that can occur in a build goes to the file as a plain decimal and comes back as the same double.</summary>
public class BuildFileValuesTests
{
    [Theory]
    [InlineData("E6")]
    [InlineData("E24")]
    [InlineData("E96")]
    [InlineData("E192")]
    public void PreferredValues_OfAllKindsWrittenAndReadBack_AreTheSame(string series)
    {
        IReadOnlyList<double> values = PreferredValues.Within(series, 0.001, 100_000);
        NetworkSection[] sections =
        [
            .. values.Select(ohm => new NetworkSection(SectionPlace.Series, Resistance: ohm, Capacitance: Units.FromMicrofarad(ohm), CapacitorEsr: 0.2)),
            .. values.Select(mh => new NetworkSection(SectionPlace.Shunt, Inductance: Units.FromMillihenry(mh), CoilDcr: mh > 1000 ? 0 : mh)),
        ];

        AssertRoundTrip(sections.Chunk(32).Select(network => WayOf(network, 0, [])));

        // The files bear the values as the series has them, not their neighbours.
        Assert.All(values, value => Assert.Equal(value, Units.ToMicrofarad(Units.FromMicrofarad(value))));
        Assert.All(values, value => Assert.Equal(value, Units.ToMillihenry(Units.FromMillihenry(value))));
    }

    [Theory]
    [InlineData(0.5)]
    [InlineData(0.1)]
    [InlineData(0.25)]
    public void TubeLengths_OnTheCuttingStepAndBores_AreTheSame(double stepMm)
    {
        // A length on whole micrometres over an exact power of ten is the double nearest to the decimal, as the reader's is.
        double step = Units.FromMm(stepMm);
        double[] lengths = [.. Enumerable.Range(1, (int)(100 / stepMm)).Select(k => Math.Round(k * step * 1e6) / 1e6)];
        double[] bores = [.. Enumerable.Range(4, 197).Select(k => Units.FromMm(k / 20.0))];
        TubeSegment[] pieces = [.. lengths.Select((length, k) => new TubeSegment(length, bores[k % bores.Length]))];

        AssertRoundTrip(pieces.Chunk(64).Select(tube => WayOf([], 0, tube)));

        Assert.All(lengths, length => Assert.True(Math.Round(Units.ToMm(length), 3) == Units.ToMm(length), $"{length}"));
    }

    [Fact]
    public void Dampers_InCgsOhm_AreTheSame() => AssertRoundTrip(
        PreferredValues.Within("E24", 10, 100_000).Concat([0, 1000.5, 333]).Select(ohm => WayOf([], Units.FromOhmCgs(ohm), [])));

    [Fact]
    public void ValuesOfFifteenDigits_WrittenAndReadBack_AreTheSame()
    {
        double[] written = [.. Enumerable.Range(1, 500).Select(k => double.Parse((Math.Exp(k / 50.0) / 3).ToString("E14", CultureInfo.InvariantCulture), CultureInfo.InvariantCulture))];

        AssertRoundTrip(written.Select(uf => new NetworkSection(SectionPlace.Series, uf, Units.FromMicrofarad(uf), Units.FromMillihenry(uf)))
            .Chunk(32).Select(network => WayOf(network, Units.FromOhmCgs(network[0].Resistance!.Value), [])));
    }

    private static Way WayOf(NetworkSection[] network, double damper, TubeSegment[] tube) =>
        new("low", Low, 1, Wiring.Parallel, Polarity.Normal, network, damper, tube);

    private static void AssertRoundTrip(IEnumerable<Way> ways)
    {
        foreach (Way[] few in ways.Select((way, k) => way with { Name = $"way {k}" }).Chunk(16))
        {
            Earpiece wanted = new(few);
            string text = BuildFile.Write(Build with { Earpiece = wanted }, TwoWay, Response, "0");

            Reading<BuildDocument> reading = BuildFile.Read(Encoding.UTF8.GetBytes(text), "b.json", TwoWay);

            Assert.Empty(reading.Faults);
            BuildFileTests.AssertSame(wanted, reading.Value!.Earpiece);
        }
    }
}
