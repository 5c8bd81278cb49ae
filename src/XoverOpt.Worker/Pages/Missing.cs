using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using Microsoft.AspNetCore.Mvc.ViewFeatures;

namespace XoverOpt.Worker.Pages;

/// <summary>The page for what is not there.</summary>
internal static class Missing
{
    /// <summary>Says so with status 404.</summary>
    public static IActionResult NotThere(this PageModel page, string words) => new ViewResult
    {
        ViewName = "/Pages/Shared/_Missing.cshtml",
        StatusCode = StatusCodes.Status404NotFound,
        ViewData = new ViewDataDictionary<string>(page.MetadataProvider, page.ModelState) { Model = words },
        TempData = page.TempData,
    };

    /// <summary>No run of that id.</summary>
    public static IActionResult NoRun(this PageModel page, string id) => page.NotThere($"There is no run '{id}'. It may have been deleted.");
}
