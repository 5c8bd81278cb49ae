namespace XoverOpt.Acoustics.Tests;

public class AirTests
{
    private static readonly ReferenceTable Table = ReferenceTable.Read("air", "air_properties.csv");

    // IEC 61094-2:2009, Table F.1, printed values.
    [Fact]
    public void At_ClimatesOfIecTableF1_GivesThePrintedDigits()
    {
        ReferenceTable.Row[] rows = [.. Table.Rows.Where(row => row.Text("source").Contains("Table F.1 (printed)", StringComparison.Ordinal))];

        Assert.Equal(2, rows.Length);
        foreach (ReferenceTable.Row row in rows)
        {
            Air air = Compute(row);
            foreach ((string column, double value) in Columns(air))
            {
                Agreement.Absolute(row.Number(column), value, row.HalfDigit(column) * 1.000001, $"{column} at {row.Number("t_C")} °C");
            }
        }
    }

    // IEC 61094-2:2009, Annex F formulas, computed a second time independently and written to eight digits.
    [Fact]
    public void At_OtherClimates_AgreesWithASecondComputationOfAnnexF()
    {
        ReferenceTable.Row[] rows = [.. Table.Rows.Where(row => row.Text("source").Contains("Annex F", StringComparison.Ordinal))];

        Assert.Equal(7, rows.Length);
        foreach (ReferenceTable.Row row in rows)
        {
            Air air = Compute(row);
            foreach ((string column, double value) in Columns(air))
            {
                Agreement.Absolute(row.Number(column), value, row.HalfDigit(column) * 1.000001, $"{column} at {row.Number("t_C")} °C, {row.Number("RH_pct")} %");
            }
        }
    }

    [Fact]
    public void At_NoArguments_IsTheClimateOfTheEarSimulatorStandard() => Assert.Equal(Air.At(23, 101325, 50), Air.At());

    private static Air Compute(ReferenceTable.Row row) => Air.At(row.Number("t_C"), row.Number("p_Pa"), row.Number("RH_pct"));

    private static IEnumerable<(string Column, double Value)> Columns(Air air) =>
        [("rho", air.Density), ("c", air.SoundSpeed), ("gamma", air.HeatRatio), ("eta", air.Viscosity), ("alpha_t", air.ThermalDiffusivity)];
}
