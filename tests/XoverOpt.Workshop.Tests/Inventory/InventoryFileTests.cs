using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests;

public sealed class InventoryFileTests : IDisposable
{
    private readonly JobDesk _desk = new();

    public void Dispose() => _desk.Dispose();

    [Fact]
    public void Read_Folder_BringsReceiversInSi()
    {
        Reading<Inventory> reading = InventoryFile.Read(_desk.Root);

        Assert.Empty(reading.Faults);
        StockReceiver stock = reading.Value!.Receiver("LO-1")!;
        Assert.Equal((38, 6e-3, 9, 4.2), (stock.Receiver.DcResistance, stock.Receiver.Inductance!.Value, stock.Receiver.SemiInductance!.Value, stock.Receiver.ForceFactor));
        Assert.Equal((7e-6, 1.1e-3, 0.006), (stock.Receiver.Mass, stock.Receiver.Compliance, stock.Receiver.Resistance));
        Assert.Equal((13e-6, 220e-9, 25e-9), (stock.Receiver.DiaphragmArea, stock.Receiver.RearVolume, stock.Receiver.FrontVolume));
        Assert.Equal((2e-3, 1.4e-3, 40e-6, 20e-3), (stock.Receiver.SpoutLength, stock.Receiver.SpoutBore, stock.Receiver.TravelLimit!.Value, stock.Receiver.CurrentLimit!.Value));
        Assert.Equal(new Body(8.9e-3, 4.3e-3, 3.8e-3), stock.Body);
        Assert.Equal(new Spread(1, 4, 5), stock.Spread);
        Assert.Equal(new Supply(9.8m, "EUR", 120, 28, 10), stock.Supply);
        Assert.Equal(("Ostrel (invented)", "a receiver", "low"), (stock.Maker, stock.Description, Assert.Single(stock.Tags)));
    }

    [Fact]
    public void Read_BareReceiver_LeavesOpenWhatIsNotStated()
    {
        string path = _desk.Write("bare.json", """
            { "format": "receiver/1", "partNumber": "B", "electrical": { "dcResistanceOhm": 38 }, "motor": { "forceFactorNPerA": 4.2 },
              "mechanical": { "massMg": 7.0, "complianceMmPerN": 1.1, "resistanceNsPerM": 0.006 },
              "acoustical": { "diaphragmMm2": 13, "rearVolumeMm3": 220, "frontVolumeMm3": 25, "spoutLengthMm": 2.0, "spoutBoreMm": 1.4 } }
            """);

        StockReceiver stock = Assert.Single(InventoryFile.Read(path).Value!.Receivers);

        Assert.Null(stock.Receiver.Inductance);
        Assert.Null(stock.Receiver.SemiInductance);
        Assert.Null(stock.Receiver.TravelLimit);
        Assert.Null(stock.Body);
        Assert.Null(stock.Spread);
        Assert.Null(stock.Supply);
    }

    [Fact]
    public void Json_ReadAgain_IsTheSameHoweverSpreadOverFiles()
    {
        Inventory folder = InventoryFile.Read(_desk.Root).Value!;
        Inventory again = InventoryFile.Read(_desk.Write("all.json", folder.Json)).Value!;

        Assert.Equal(folder.Json, again.Json);
        Assert.Equal(folder.Hash, again.Hash);
        Assert.Equal(System.Text.Json.JsonSerializer.Serialize(folder), System.Text.Json.JsonSerializer.Serialize(again));
    }

    [Theory]
    [InlineData("-1.1", "found the number -1.1; allowed: a number above 0 mm/N, at most 1000 mm/N.")]
    [InlineData("0", "found the number 0; allowed: a number above 0 mm/N")]
    [InlineData("1e400", "found the number 1e400")]
    [InlineData("\"1.1\"", "Numbers stand without quotation marks.")]
    public void Receiver_ComplianceNotPhysical_IsRefused(string compliance, string said)
    {
        Fault fault = OneFault(JobDesk.Receiver("X", "low", compliance));

        Assert.Equal("/mechanical/complianceMmPerN", fault.Pointer);
        Assert.Contains(said, fault.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("""{ "format": "reciever/1" }""", "/format", "Did you mean \"receiver/1\"?")]
    [InlineData("""{ "partNumber": "X" }""", "", "no key \"format\"")]
    [InlineData("""[ { "format": "damper/1", "partNumber": "X" } ]""", "/0", "no key \"ohmCgs\"")]
    [InlineData("""{ "format": "damper/1", "partNumber": "X", "ohmCgs": 1, "ohms": 1 }""", "/ohms", "Did you mean \"ohmCgs\"?")]
    [InlineData("""{ "format": "tubing/1", "partNumber": "X", "boreMm": 2, "outerMm": 2 }""", "/outerMm", "more than boreMm")]
    [InlineData("""{ "format": "passives/1", "kind": "resister", "ohm": [1] }""", "/kind", "Did you mean \"resistor\"?")]
    [InlineData("""{ "format": "passives/1", "kind": "capacitor", "microfarad": [1, -1] }""", "/microfarad/1", "above 0 microfarad")]
    [InlineData("""{ "format": "passives/1", "kind": "resistor", "series": "E24", "minOhm": 11.5, "maxOhm": 11.9 }""", "", "at least one value of E24")]
    [InlineData("""{ "format": "damper/1", "partNumber": "X", "ohmCgs": 1, "supply": { "unitPrice": 1 } }""", "/supply", "no key \"currency\"")]
    [InlineData("""{ "format": "damper/1", "partNumber": "X", "ohmCgs": 1, "supply": { "unitPrice": 1, "currency": "eur" } }""", "/supply/currency", "ISO 4217")]
    public void Item_Bad_IsRefusedInItsPlace(string item, string pointer, string said)
    {
        Fault fault = OneFault(item);

        Assert.Equal(pointer, fault.Pointer);
        Assert.Contains(said, fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void PartNumber_Twice_IsRefusedWithBothPlaces()
    {
        _desk.Write("driverlib/zz.json", JobDesk.Receiver("LO-1", "low"));

        Fault fault = Assert.Single(InventoryFile.Read(_desk.Root).Faults);

        Assert.EndsWith("zz.json", fault.File, StringComparison.Ordinal);
        Assert.Equal("/partNumber", fault.Pointer);
        Assert.Contains("the part number \"LO-1\" again", fault.Message, StringComparison.Ordinal);
        Assert.Contains("receivers.json/0/partNumber", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Currency_Second_IsRefused()
    {
        _desk.Write("driverlib/zz.json", JobDesk.Receiver("X", "low").Replace("EUR", "USD", StringComparison.Ordinal));

        Assert.Contains("one currency in the whole inventory, here \"EUR\"", Assert.Single(InventoryFile.Read(_desk.Root).Faults).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Faults_OfSeveralFiles_ComeAtOnce()
    {
        _desk.Write("driverlib/a.json", JobDesk.Receiver("A", "low", "-1"));
        _desk.Write("driverlib/b.json", "{");
        _desk.Write("driverlib/c.json", JobDesk.Receiver("C", "low", "-2"));

        Assert.Equal(["a.json", "b.json", "c.json"], InventoryFile.Read(_desk.Root).Faults.Select(fault => Path.GetFileName(fault.File)));
    }

    [Fact]
    public void Read_MissingReceiverFile_IsRefused() =>
        Assert.Contains("no such file or folder", Assert.Single(InventoryFile.Read(Path.Combine(_desk.Root, "none.json")).Faults).Message, StringComparison.Ordinal);

    private Fault OneFault(string text) => Assert.Single(InventoryFile.Read(_desk.Write("one.json", text)).Faults);
}
